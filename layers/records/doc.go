// Package records reads occurrence records: who met which species where and
// when, as Darwin Core tables, Darwin Core archives and any vector source.
//
// [Read] is total: every row of a source comes out either as a [Record], with
// its place on the grid's coordinate reference system and its row as it was,
// or as a [Reject] with a reason. Nothing is repaired by guessing and nothing
// is deleted; what was assumed is said in notes.
//
// [Generaliser] blurs the places of sensitive species before a record is shown
// to anyone but staff, and [WriteRejects] hands the rejects back to whoever
// can mend them.
package records

// Package land makes the ground of Averholt, a lowland district that does not
// exist: relief, river, soils, land cover, roads, towns and ponds.
//
// Everything follows from one seed. The same seed gives the same district, bit
// for bit, for every step draws from its own stream of numbers and adds up in a
// fixed order. The district lies in the open sea, around 56 N 3 E in UTM zone
// 31N, so that nobody mistakes it for a real place.
//
// The ground is an assumption from end to end: shapes, numbers and their order
// of events are chosen so that a naturalist would believe the picture, and
// measure nothing.
package land

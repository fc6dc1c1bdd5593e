// Package project reads a project's tussock.yaml: it finds every mistake in it,
// with its line, and builds from it what the engine needs.
//
//	file → document → typed sections → static checks → layers opened → model
//	       syntax     unknown keys,    names, weights,  classes,         grid, set of layers,
//	                  types, values    curves, files    fields           profiles, ranges
//
// [Load] goes as far as the static checks and opens nothing but YAML; [Open]
// goes all the way. Both return [Problems], all mistakes together; only a file
// that is no YAML at all stops at its first. [Schema] is the same rules as a
// JSON Schema, for editors, and [Start] writes a first project file for a
// folder of data.
package project

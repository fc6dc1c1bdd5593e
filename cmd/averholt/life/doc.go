// Package life settles Averholt: ten species with a true occupancy, the range
// maps that somebody drew of them, the records and visits that people sent in,
// mistakes and all, and the parcels, sites, volunteers and places that a scheme
// works with.
//
// The truth is a known answer to hold the model against, so it must not come
// from it: nothing here imports a package above layers, the formulas are other
// ones than the profiles', and a hidden field of management that no layer shows
// moves them. All of it is invented; no number measures anything.
package life

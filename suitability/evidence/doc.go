// Package evidence tells how far a map of suitability may be trusted: how well it
// agrees with records and visits, what experts' weights are worth, and what
// records may change in them.
//
// Two kinds of figures are kept apart, since they answer different questions.
// Presence and background: records against the cells of the area, of which some
// hold the species unseen ([AUC], [Boyce], [Lift], [SelectionRatios],
// [AreaThresholds]). Presence and absence: visits with and without finds
// ([Thresholds], [Brier], [CalibrationByClass], [Kappa]). Both are read on
// habitat, before the range rule: clipping would add easy zeros.
//
// What cannot be computed is an error that wraps [ErrUndefined] or [ErrTooFew],
// never a zero and never NaN.
package evidence

package evidence

import (
	"context"
	"fmt"

	"tussock/suitability"
)

// The least numbers that visits judge by (own choices: assumptions).
const (
	LeastSites  = 15
	LeastEither = 5 // sites with a find, and sites without
)

// PresenceAbsence is a map against visits: sites where the species was found, by
// any of their visits, and sites where it was looked for and never found. Such a
// site may hold it unseen; the calibration by class corrects for that where some
// sites were visited more than once.
type PresenceAbsence struct {
	Visits       int            // of all kinds, in all
	UnusedVisits map[Unused]int // visits that say nothing of the species, or cannot
	UnusedSites  map[Unused]int // sites that the map does not speak of
	Sites        int            // that judge
	Found        int            // of them
	Blank        int
	Repeated     int // visited more than once

	Err          error // why there are no figures; wraps [ErrTooFew]
	AUC          AUCResult
	Thresholds   []ThresholdRow // at the breaks between classes
	Best         ThresholdRow   // the greatest TSS of all
	Brier        BrierResult
	Classes      []ClassCalibration
	Detection    float64 // the chance that one visit finds what is there, one for all classes; only where HasDetection
	HasDetection bool
	Edge         int // sites at the range's edge, which count as any other
}

// visited judges by visits; the map is made without the records of each site's
// own block.
func (a *assessing) visited(ctx context.Context, e Finds) (PresenceAbsence, error) {
	r := PresenceAbsence{Visits: len(e.Visits), UnusedSites: map[Unused]int{}}
	var sites []Site
	sites, r.UnusedVisits = a.visitedSites(e, a.subject.Profile)
	places := make([]Place, len(sites))
	for i, s := range sites {
		places[i] = s.Place
	}
	samples, err := a.lookWithout(ctx, places, a.blockParts(), nil)
	if err != nil {
		return r, err
	}
	var used []SiteVisits
	for i, s := range samples {
		if s.Unused != "" {
			r.UnusedSites[s.Unused]++
			continue
		}
		used = append(used, SiteVisits{Suitability: s.Habitat, Visits: sites[i].Visits, Finds: sites[i].Finds})
		r.countSite(sites[i], s)
	}
	if r.Sites < LeastSites || r.Found < LeastEither || r.Blank < LeastEither {
		r.Err = fmt.Errorf("%w: %d sites with a find and %d without; %d in all and %d of each are needed", ErrTooFew, r.Found, r.Blank, LeastSites, LeastEither)
		return r, nil
	}
	return r, r.figures(used, a.job.Classes)
}

func (r *PresenceAbsence) countSite(s Site, at Sample) {
	r.Sites++
	if s.Finds > 0 {
		r.Found++
	} else {
		r.Blank++
	}
	if s.Visits > 1 {
		r.Repeated++
	}
	if !inside(at.InRange) {
		r.Edge++
	}
}

func (r *PresenceAbsence) figures(sites []SiteVisits, classes suitability.Classes) (err error) {
	var presence, absence, all []float64
	var found []bool
	for _, s := range sites {
		all, found = append(all, s.Suitability), append(found, s.Finds > 0)
		if s.Finds > 0 {
			presence = append(presence, s.Suitability)
		} else {
			absence = append(absence, s.Suitability)
		}
	}
	if r.AUC, err = AUC(presence, absence); err != nil {
		return err
	}
	if r.Thresholds, err = Thresholds(presence, absence, classes...); err != nil {
		return err
	}
	every, err := Thresholds(presence, absence)
	if err != nil {
		return err
	}
	r.Best, _ = MaxTSS(every)
	if r.Brier, err = Brier(all, found); err != nil {
		return err
	}
	c, err := CalibrationByClass(sites, classes)
	r.Classes, r.Detection, r.HasDetection = c.Classes, c.Detection, c.HasDetection
	return err
}

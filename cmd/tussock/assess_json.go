package main

import (
	"math"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/evidence"
)

// assessJSON keeps the two kinds of figures in two lists, by species: no object
// holds both.
type assessJSON struct {
	Project    string `json:"project"`
	Audience   string `json:"audience"`
	Seed       uint64 `json:"seed"`
	ClaimRule  string `json:"claim_rule"`
	Background []any  `json:"presence_background"`
	Visits     []any  `json:"presence_absence,omitempty"`
}

func (s *assessed) json(job *suitability.Job) assessJSON {
	r := assessJSON{Project: s.project, Audience: s.audience.String(), Seed: s.seed, ClaimRule: evidence.ClaimRule, Background: []any{}}
	for _, one := range s.list {
		r.Background = append(r.Background, backgroundJSON(job, one))
		if s.visits {
			r.Visits = append(r.Visits, visitedJSON(job.Classes, one))
		}
	}
	return r
}

func backgroundJSON(job *suitability.Job, one *evidence.Assessment) any {
	p := &one.Background
	unused := map[string]int{}
	for u, n := range p.Unused {
		unused[string(u)] = n
	}
	r := map[string]any{
		"species": one.Subject.Profile.ID, "skill": p.Claim.Skill, "why": p.Claim.Why, "words": headline(p),
		"rows": p.Rows, "not_used": unused, "at_edge": p.AtEdge, "rebuilt_without_test_records": p.Rebuilt,
		"block_side": p.Side, "variogram": p.Variogram, "blocks": p.Blocks, "blocks_with_records": p.Occupied,
		"in_range": againstJSON(job, p.InRange), "folds": foldsJSON(p.Folds),
	}
	if p.WithEdge != nil {
		r["with_edge"] = againstJSON(job, *p.WithEdge)
	}
	measures := []any{}
	for _, m := range p.Measures {
		measures = append(measures, measureJSON(job.Layers, m))
	}
	r["measures"] = measures
	return r
}

func againstJSON(job *suitability.Job, g evidence.AgainstGround) any {
	r := map[string]any{"records": g.Records, "km2": km2(g.Cells, job.Grid.Cell), "index": indexJSON(g.Index)}
	if len(g.Lift) == 0 {
		return r
	}
	r["auc"] = aucJSON(g.AUC)
	r["auc_caveat"] = evidence.AUCCaveat
	thresholds, lift, classes := []any{}, []any{}, []any{}
	for _, t := range g.Thresholds {
		thresholds = append(thresholds, areaJSON(t))
	}
	for _, l := range g.Lift {
		lift = append(lift, map[string]any{"area": l.Area, "records": l.Records, "times": l.Times})
	}
	words := suitability.ClassWords(len(job.Classes) + 1)
	for i, c := range g.Classes {
		classes = append(classes, ratioJSON(words[i], c))
	}
	r["thresholds"], r["lift"], r["classes"] = thresholds, lift, classes
	r["greatest_gain"], r["tenth_omitted"] = areaJSON(g.Gain), areaJSON(g.Omission)
	return r
}

func areaJSON(t evidence.AreaRow) any {
	return map[string]any{"threshold": t.Threshold, "records": t.Sensitivity, "area": t.Area, "gain": t.Gain}
}

func ratioJSON(name string, r evidence.SelectionRatio) any {
	row := map[string]any{"name": name, "records": r.Used, "area": r.AreaShare, "ratio": nil}
	if r.HasRatio {
		row["ratio"], row["low"], row["high"] = r.Ratio, r.RatioLow, r.RatioHigh
	}
	return row
}

func measureJSON(set *layers.Set, m evidence.MeasureUse) any {
	r := map[string]any{"parts": m.Parts, "unit": m.Measure.Unit(), "by_class": m.ByClass, "unknown": m.Unknown}
	if m.Err != nil {
		r["why"] = m.Err.Error()
		return r
	}
	rows := []any{}
	for _, x := range m.Ratios {
		row := ratioJSON(intervalWords(set, m, x), x).(map[string]any)
		if !m.ByClass {
			row["from"], row["to"] = x.Low, x.High
		}
		rows = append(rows, row)
	}
	r["ratios"] = rows
	return r
}

func indexJSON(x evidence.Index) any {
	r := map[string]any{"value": nil, "method": x.Method, "windows": x.Used, "domain": []float64{x.Domain.Low, x.Domain.High}, "bandwidth": x.Bandwidth}
	if x.Err != nil {
		return map[string]any{"value": nil, "why": whyNot(x.Err)}
	}
	r["value"] = x.Index
	r["repeats_dropped"] = orNull(x.Dropped, x.DroppedErr)
	if x.HasInterval {
		r["low"], r["high"], r["draws"], r["undefined_draws"] = x.Low, x.High, x.Draws, x.Undefined
	}
	curve := []any{}
	for _, c := range x.Curve {
		curve = append(curve, []float64{c.Mid, c.Ratio})
	}
	r["curve"] = curve
	return r
}

func orNull(v float64, err error) any {
	if err != nil {
		return nil
	}
	return v
}

func aucJSON(a evidence.AUCResult) any {
	r := map[string]any{"value": a.Value}
	if a.HasInterval {
		r["low"], r["high"], r["delong_se"] = a.Low, a.High, a.DeLongSE
	}
	return r
}

func foldsJSON(folds []evidence.FoldFigures) []any {
	list := []any{}
	for _, f := range folds {
		r := map[string]any{"fold": f.Fold, "blocks_with_records": f.Blocks, "records": f.Records, "cells": f.Cells, "index": indexJSON(f.Index), "auc": nil}
		if f.AUCErr == nil {
			r["auc"] = aucJSON(f.AUC)
		}
		list = append(list, r)
	}
	return list
}

func visitedJSON(classes suitability.Classes, one *evidence.Assessment) any {
	v := &one.Visited
	unused := map[string]int{}
	for u, n := range v.UnusedVisits {
		unused[string(u)] = n
	}
	sites := map[string]int{}
	for u, n := range v.UnusedSites {
		sites[string(u)] = n
	}
	r := map[string]any{
		"species": one.Subject.Profile.ID, "words": visitsHeadline(v), "visits": v.Visits, "visits_not_used": unused, "sites_not_used": sites,
		"sites": v.Sites, "found": v.Found, "blank": v.Blank, "visited_more_than_once": v.Repeated,
	}
	if v.Err != nil {
		r["why"] = whyNot(v.Err)
		return r
	}
	thresholds := []any{}
	for _, t := range v.Thresholds {
		thresholds = append(thresholds, thresholdJSON(t))
	}
	r["auc"], r["thresholds"], r["greatest_tss"] = aucJSON(v.AUC), thresholds, thresholdJSON(v.Best)
	r["brier"] = map[string]any{"score": v.Brier.Score, "reference": v.Brier.Reference}
	r["classes"], r["detection"] = calibrationJSON(classes, v.Classes), nil
	if v.HasDetection {
		r["detection"] = v.Detection
	}
	return r
}

func thresholdJSON(t evidence.ThresholdRow) any {
	return map[string]any{"threshold": t.Threshold, "sensitivity": t.Sensitivity, "specificity": t.Specificity, "tss": t.TSS, "sites": t.Share}
}

func calibrationJSON(classes suitability.Classes, list []evidence.ClassCalibration) []any {
	words := suitability.ClassWords(len(classes) + 1)
	rows := []any{}
	for i, c := range list {
		r := map[string]any{"class": words[i], "sites": c.Sites, "visits": c.Visits, "found": c.Found, "share": nil, "corrected": nil}
		if c.HasShare {
			r["share"], r["share_low"], r["share_high"] = c.Share, c.ShareLow, c.ShareHigh
		}
		if c.HasPsi {
			r["corrected"], r["corrected_low"], r["corrected_high"] = c.Psi, c.PsiLow, c.PsiHigh
		}
		rows = append(rows, r)
	}
	return rows
}

// tenths rounds a figure to what others than staff are told.
func tenths(v float64) float64 { return math.Round(v*10) / 10 }

package main

import (
	"math"

	"tussock/layers"
	"tussock/suitability"
)

// explainJSON turns explanations into plain data: unknown numbers become null.
func explainJSON(cells []*suitability.CellExplanation, withheld int) any {
	list := []any{}
	for _, x := range cells {
		list = append(list, map[string]any{
			"species": x.Species, "column": x.Col, "row": x.Row, "centre": x.Centre,
			"requisites": requisitesJSON(x), "together": known(x.H),
			"multipliers": multipliersJSON(x), "exclusions": exclusionsJSON(x),
			"habitat": known(x.S), "range": x.InRange.String(), "standing": x.Standing.String(),
			"edge_distance_m": known(x.EdgeDistance), "public_factor": known(x.Public), "planning_factor": known(x.Planning),
			"shown": known(x.Shown), "class": x.Class,
		})
	}
	return map[string]any{"cells": list, "withheld": withheld}
}

func requisitesJSON(x *suitability.CellExplanation) []any {
	list := []any{}
	for i, r := range x.Requisites {
		criteria := []any{}
		for k, c := range r.Criteria {
			criteria = append(criteria, withSpecies(x.Profile.Requisites[i].Criteria[k].Measure,
				map[string]any{"id": c.ID, "weight": c.Weight, "value": known(c.Value), "rating": known(c.Rating), "missing": c.Missing}))
		}
		list = append(list, map[string]any{"id": r.ID, "weight": r.Weight, "value": known(r.Value), "criteria": criteria})
	}
	return list
}

func multipliersJSON(x *suitability.CellExplanation) []any {
	list := []any{}
	for i, m := range x.Multipliers {
		list = append(list, withSpecies(x.Profile.Multipliers[i].Measure,
			map[string]any{"id": m.ID, "value": known(m.Value), "factor": known(m.Factor), "missing": m.Missing}))
	}
	return list
}

func exclusionsJSON(x *suitability.CellExplanation) []any {
	list := []any{}
	for i, e := range x.Exclusions {
		list = append(list, withSpecies(x.Profile.Exclusions[i].Measure,
			map[string]any{"id": e.ID, "value": known(e.Value), "excluded": e.Excluded, "missing": e.Missing}))
	}
	return list
}

// withSpecies adds the species that a measure looks for near by.
func withSpecies(m layers.Measure, result map[string]any) map[string]any {
	if near, ok := m.(suitability.NearbySpecies); ok {
		result["species"], result["radius_m"] = near.Names(), near.Radius
	}
	return result
}

// known is a number for JSON, which has none for unknown.
func known(v float64) any {
	if math.IsNaN(v) {
		return nil
	}
	return v
}

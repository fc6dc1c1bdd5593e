package project

import (
	"context"
	"fmt"
	"strings"

	"tussock/layers/records"
)

// Visits reads the project's sources of visits, in the order of the file; none
// where the project names none.
func (o *Opened) Visits(ctx context.Context) ([]records.Visits, error) {
	var list []records.Visits
	for _, s := range o.Project.Visits {
		v, err := records.ReadVisits(ctx, records.Source{File: s.File, Today: o.Date}, o.Grid.CRS)
		if err != nil {
			return nil, fmt.Errorf("visits: %w", err)
		}
		list = append(list, v)
	}
	return list, nil
}

// VisitGroups names the groups by which a visit's scope may mean a species, by
// its scientific name: its group as its profile words it, and that group's
// scientific name where it is one of the usual ones. See [records.Visit.Result].
func (o *Opened) VisitGroups(species string) []string {
	for _, s := range o.Subjects {
		if RecordName(s.Profile) == species && s.Profile.Group != "" {
			return append([]string{s.Profile.Group, s.Profile.Group + "s"}, groupTaxa[strings.ToLower(s.Profile.Group)]...)
		}
	}
	return nil
}

// groupTaxa are the scientific names of groups that profiles name in plain words
// (classes and orders of zoology, as every handbook has them).
var groupTaxa = map[string][]string{
	"amphibian": {"Amphibia"}, "reptile": {"Reptilia"}, "bird": {"Aves"}, "mammal": {"Mammalia"}, "insect": {"Insecta"},
	"newt": {"Amphibia", "Caudata", "Urodela"}, "salamander": {"Amphibia", "Caudata", "Urodela"}, "frog": {"Amphibia", "Anura"}, "toad": {"Amphibia", "Anura"},
	"snake": {"Reptilia", "Squamata", "Serpentes"}, "lizard": {"Reptilia", "Squamata"}, "turtle": {"Reptilia", "Testudines"},
	"bat": {"Mammalia", "Chiroptera"}, "dragonfly": {"Insecta", "Odonata"}, "butterfly": {"Insecta", "Lepidoptera"}, "moth": {"Insecta", "Lepidoptera"}, "beetle": {"Insecta", "Coleoptera"},
}

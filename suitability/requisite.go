package suitability

import "fmt"

// Requisite is one life requisite: breeding, food, cover, winter. Its criteria
// make up for one another; between requisites the profile's [Rule] decides how
// far a shortage limits.
type Requisite struct {
	ID       string
	Weight   float64 // relative to the other requisites; 0 takes it out, unless the rule is Ordered
	Criteria []Criterion
}

func (r Requisite) check(path string) []error {
	var errs []error
	if r.ID == "" {
		errs = append(errs, fieldError(path+".id", "it has no name"))
	}
	errs = append(errs, checkWeight(r.Weight, path+".weight")...)
	if len(r.Criteria) == 0 {
		return append(errs, fieldError(path+".criteria", "it has no criteria"))
	}
	total := 0.0
	for i, c := range r.Criteria {
		errs = append(errs, c.check(fmt.Sprintf("%s.criteria[%d]", path, i))...)
		total += c.Weight
	}
	if total == 0 {
		errs = append(errs, fieldError(path+".criteria", "every weight is 0"))
	}
	return errs
}

func (r Requisite) weightSum() float64 {
	sum := 0.0
	for _, c := range r.Criteria {
		sum += c.Weight
	}
	return sum
}

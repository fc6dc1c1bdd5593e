package evidence

import (
	"fmt"
	"math"
)

// KappaResult is agreement between two judges beyond chance.
type KappaResult struct {
	Observed float64 // share of agreement
	Expected float64 // by chance
	Kappa    float64 // (Observed − Expected) / (1 − Expected)
	SE       float64 // asymptotic standard error
	NullSE   float64 // standard error where there is no agreement but by chance
	N        int64
}

// Z is kappa by its standard error under chance; not ok where that is 0.
func (k KappaResult) Z() (float64, bool) { return k.Kappa / k.NullSE, k.NullSE > 0 }

// Kappa is Cohen's kappa of a square table of counts, rows by one judge, columns
// by the other (Cohen 1960, Educational and Psychological Measurement 20:37-46),
// with the standard errors of Fleiss, Cohen and Everitt (1969), Psychological
// Bulletin 72:323-327. Where chance alone agrees fully, or nothing was counted,
// it is [ErrUndefined].
func Kappa(table [][]int64) (KappaResult, error) {
	rows, columns, n, err := marginals(table)
	if err != nil {
		return KappaResult{}, err
	}
	k := KappaResult{N: n}
	for i := range table {
		k.Observed += float64(table[i][i]) / float64(n)
		k.Expected += rows[i] * columns[i]
	}
	if 1-k.Expected < 1e-12 {
		return k, undefined("all %d were judged alike by both, so chance agrees fully", n)
	}
	k.Kappa = (k.Observed - k.Expected) / (1 - k.Expected)
	scale := math.Sqrt(float64(n)) * (1 - k.Expected)
	k.SE = math.Sqrt(k.spread(table, rows, columns)) / scale
	k.NullSE = math.Sqrt(k.nullSpread(rows, columns)) / scale
	return k, nil
}

// marginals are the shares of the rows and of the columns, and the sum.
func marginals(table [][]int64) (rows, columns []float64, n int64, err error) {
	rows, columns = make([]float64, len(table)), make([]float64, len(table))
	for i, row := range table {
		if len(row) != len(table) {
			return nil, nil, 0, fmt.Errorf("evidence: row %d of a table of %d classes has %d columns", i+1, len(table), len(row))
		}
		for j, count := range row {
			if count < 0 {
				return nil, nil, 0, fmt.Errorf("evidence: row %d, column %d counts %d", i+1, j+1, count)
			}
			n += count
			rows[i] += float64(count)
			columns[j] += float64(count)
		}
	}
	if n == 0 {
		return nil, nil, 0, undefined("agreement of nothing")
	}
	for i := range table {
		rows[i] /= float64(n)
		columns[i] /= float64(n)
	}
	return rows, columns, n, nil
}

// spread is A + B − C with
//
//	A = Σ p_ii [1 − (p_i. + p_.i)(1 − κ)]²
//	B = (1 − κ)² ΣΣ_{i≠j} p_ij (p_.i + p_j.)²
//	C = [κ − p_e (1 − κ)]²
func (k KappaResult) spread(table [][]int64, rows, columns []float64) float64 {
	var a, b float64
	rest := 1 - k.Kappa
	for i := range table {
		for j, count := range table[i] {
			p := float64(count) / float64(k.N)
			if i == j {
				a += p * square(1-(rows[i]+columns[i])*rest)
			} else {
				b += p * square(columns[i]+rows[j])
			}
		}
	}
	return max(0, a+rest*rest*b-square(k.Kappa-k.Expected*rest))
}

// nullSpread is p_e + p_e² − Σ p_i. p_.i (p_i. + p_.i).
func (k KappaResult) nullSpread(rows, columns []float64) float64 {
	sum := k.Expected + k.Expected*k.Expected
	for i := range rows {
		sum -= rows[i] * columns[i] * (rows[i] + columns[i])
	}
	return max(0, sum)
}

func square(x float64) float64 { return x * x }

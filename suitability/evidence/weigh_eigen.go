package evidence

// squarings bounds how often a matrix is squared: its power is then 2^40, which
// leaves nothing of the second eigenvalue unless it is within 1e-10 of the first.
const squarings = 40

// polishing steps of the plain power method take the rounding of the squarings
// out.
const polishing = 3

// principal is the principal eigenvector of a matrix without negative numbers,
// scaled to sum 1, and its eigenvalue. By the theorem of Perron and Frobenius it
// is the only eigenvector without a change of sign, and the rows of high powers
// of the matrix are all proportional to it; squaring reaches them in few steps
// whatever the second eigenvalue is.
func principal(a [][]float64) (weights []float64, lambda float64) {
	power := a
	for range squarings {
		power = squaredMatrix(power)
	}
	weights = onesVector(len(a))
	weights = powerStep(power, weights)
	for range polishing {
		weights = powerStep(a, weights)
	}
	return weights, eigenvalue(a, weights)
}

// squaredMatrix is a matrix times itself, divided by its greatest number.
func squaredMatrix(a [][]float64) [][]float64 {
	out := make([][]float64, len(a))
	greatest := 0.0
	for i := range a {
		out[i] = make([]float64, len(a))
		for j := range a {
			for k := range a {
				out[i][j] += a[i][k] * a[k][j]
			}
			greatest = max(greatest, out[i][j])
		}
	}
	for i := range out {
		for j := range out {
			out[i][j] /= greatest
		}
	}
	return out
}

// timesVector is a matrix times a vector.
func timesVector(a [][]float64, v []float64) []float64 {
	out := make([]float64, len(a))
	for i := range a {
		for j, x := range v {
			out[i] += a[i][j] * x
		}
	}
	return out
}

// powerStep is one step of the power method, scaled to sum 1.
func powerStep(a [][]float64, v []float64) []float64 {
	out := timesVector(a, v)
	sum := 0.0
	for _, x := range out {
		sum += x
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// eigenvalue is the sum of A·v where v sums to 1: λ, where v is an eigenvector.
func eigenvalue(a [][]float64, v []float64) float64 {
	sum := 0.0
	for _, x := range timesVector(a, v) {
		sum += x
	}
	return sum
}

func onesVector(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}

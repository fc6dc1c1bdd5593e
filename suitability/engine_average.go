package suitability

import "math"

// average spreads the mean of every whole square of n cells over the square, so
// that a map shows no more than its audience may see. Unknown cells are left out
// of the mean; a square that is mostly unknown stays unknown. The window must
// hold whole squares, or end with the grid.
func (c *cells) average(n int) {
	for row := 0; row < c.window.Rows; row += n {
		for col := 0; col < c.window.Cols; col += n {
			c.averageSquare(c.habitat, col, row, n)
			c.averageSquare(c.suitability, col, row, n)
		}
	}
}

func (c *cells) averageSquare(numbers []float32, col, row, n int) {
	sum, known := 0.0, 0
	bottom, right := min(row+n, c.window.Rows), min(col+n, c.window.Cols)
	for y := row; y < bottom; y++ {
		for _, v := range numbers[y*c.window.Cols+col : y*c.window.Cols+right] {
			if v == v {
				sum += float64(v)
				known++
			}
		}
	}
	mean := float32(math.NaN())
	if 2*known >= (bottom-row)*(right-col) {
		mean = float32(sum / float64(known))
	}
	for y := row; y < bottom; y++ {
		line := numbers[y*c.window.Cols+col : y*c.window.Cols+right]
		for i := range line {
			line[i] = mean
		}
	}
}

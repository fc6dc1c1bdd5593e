package tiles

import "image/color"

// deficiency is a way of seeing colour, as a matrix on linear sRGB.
type deficiency struct {
	name   string
	matrix [3][3]float64
}

// deficiencies are the three kinds of colour-vision deficiency at full
// severity: Machado, Oliveira & Fernandes (2009), A physiologically-based model
// for simulation of color vision deficiency, IEEE TVCG 15:1291-1298.
var deficiencies = []deficiency{
	{"protanopia", [3][3]float64{
		{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
	{"deuteranopia", [3][3]float64{
		{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
	{"tritanopia", [3][3]float64{
		{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}},
}

// see is how a colour looks with that deficiency.
func (d deficiency) see(c color.NRGBA) color.NRGBA {
	in := decode(c)
	var out linear
	for i, row := range d.matrix {
		out[i] = row[0]*in[0] + row[1]*in[1] + row[2]*in[2]
	}
	seen := out.encode()
	seen.A = c.A
	return seen
}

// grey is a colour as a photocopier keeps it: its lightness alone.
func grey(c color.NRGBA) color.NRGBA {
	y := decode(c).luminance()
	out := linear{y, y, y}.encode()
	out.A = c.A
	return out
}

package tiles

import (
	"image/color"
	"math"
)

// lab is a colour in CIE 1976 L*a*b* under D65: l is lightness, 0 black to 100
// white.
type lab struct{ l, a, b float64 }

// The white of sRGB (IEC 61966-2-1), D65, scaled to Y = 1.
const whiteX, whiteY, whiteZ = 0.95047, 1.0, 1.08883

// lch makes a colour from lightness, chroma and hue in degrees.
func lch(l, c, hue float64) lab {
	sin, cos := math.Sincos(hue * math.Pi / 180)
	return lab{l, c * cos, c * sin}
}

func (c lab) chroma() float64 { return math.Hypot(c.a, c.b) }

// linear are red, green and blue of sRGB before its transfer curve, 0 to 1.
type linear [3]float64

// decode undoes the transfer curve of sRGB (IEC 61966-2-1).
func decode(c color.NRGBA) linear {
	var out linear
	for i, v := range [3]uint8{c.R, c.G, c.B} {
		out[i] = decodeChannel(float64(v) / 255)
	}
	return out
}

func decodeChannel(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// encode applies the transfer curve of sRGB; channels outside 0 to 1 are taken
// to the nearer end.
func (c linear) encode() color.NRGBA {
	var out [3]uint8
	for i, v := range c {
		v = math.Max(0, math.Min(1, v))
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		out[i] = uint8(math.Round(v * 255))
	}
	return color.NRGBA{out[0], out[1], out[2], 255}
}

func (c linear) inGamut() bool {
	for _, v := range c {
		if v < -1e-6 || v > 1+1e-6 {
			return false
		}
	}
	return true
}

// luminance is the relative luminance Y of WCAG 2.x.
func (c linear) luminance() float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

// toLab follows CIE 15 with the matrix of IEC 61966-2-1.
func (c linear) toLab() lab {
	x := 0.4124564*c[0] + 0.3575761*c[1] + 0.1804375*c[2]
	y := 0.2126729*c[0] + 0.7151522*c[1] + 0.0721750*c[2]
	z := 0.0193339*c[0] + 0.1191920*c[1] + 0.9503041*c[2]
	fx, fy, fz := labRoot(x/whiteX), labRoot(y/whiteY), labRoot(z/whiteZ)
	return lab{116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)}
}

func (c lab) toLinear() linear {
	fy := (c.l + 16) / 116
	x, y, z := whiteX*labCube(fy+c.a/500), whiteY*labCube(fy), whiteZ*labCube(fy-c.b/200)
	return linear{
		3.2404542*x - 1.5371385*y - 0.4985314*z,
		-0.9692660*x + 1.8760108*y + 0.0415560*z,
		0.0556434*x - 0.2040259*y + 1.0572252*z,
	}
}

func labRoot(t float64) float64 {
	if t > 216.0/24389 {
		return math.Cbrt(t)
	}
	return (24389.0/27*t + 16) / 116
}

func labCube(f float64) float64 {
	if f > 6.0/29 {
		return f * f * f
	}
	return (116*f - 16) * 27 / 24389
}

// shown is the nearest colour that a screen can show: same lightness and hue,
// with chroma drawn in until it fits sRGB.
func (c lab) shown() color.NRGBA {
	if rgb := c.toLinear(); rgb.inGamut() {
		return rgb.encode()
	}
	low, high := 0.0, 1.0
	for range 40 {
		mid := (low + high) / 2
		if (lab{c.l, c.a * mid, c.b * mid}).toLinear().inGamut() {
			low = mid
		} else {
			high = mid
		}
	}
	return lab{c.l, c.a * low, c.b * low}.toLinear().encode()
}

// lightness is L* of a colour as shown, opaque.
func lightness(c color.NRGBA) float64 { return decode(c).toLab().l }

// contrast is the contrast ratio of two opaque colours, 1 to 21: (L1 + 0.05)/
// (L2 + 0.05) with the lighter first (WCAG 2.x, success criteria 1.4.3, 1.4.11).
func contrast(a, b color.NRGBA) float64 {
	la, lb := decode(a).luminance(), decode(b).luminance()
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

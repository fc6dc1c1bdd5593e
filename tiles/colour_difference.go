package tiles

import "math"

// difference is the CIEDE2000 colour difference with k_L = k_C = k_H = 1, as
// laid out in Sharma, Wu & Dalal (2005), The CIEDE2000 color-difference formula,
// Color Research and Application 30:21-30.
func difference(p, q lab) float64 {
	meanC := (p.chroma() + q.chroma()) / 2
	g := 0.5 * (1 - math.Sqrt(pow7(meanC)/(pow7(meanC)+pow7(25))))
	p.a, q.a = p.a*(1+g), q.a*(1+g)
	c1, c2 := p.chroma(), q.chroma()
	h1, h2 := hueOf(p), hueOf(q)

	dL, dC := q.l-p.l, c2-c1
	dh := hueStep(h1, h2, c1*c2)
	dH := 2 * math.Sqrt(c1*c2) * math.Sin(radians(dh)/2)

	meanL, meanCp := (p.l+q.l)/2, (c1+c2)/2
	meanH := hueMean(h1, h2, c1*c2)
	t := 1 - 0.17*math.Cos(radians(meanH-30)) + 0.24*math.Cos(radians(2*meanH)) +
		0.32*math.Cos(radians(3*meanH+6)) - 0.20*math.Cos(radians(4*meanH-63))
	l50 := (meanL - 50) * (meanL - 50)
	sL := 1 + 0.015*l50/math.Sqrt(20+l50)
	sC := 1 + 0.045*meanCp
	sH := 1 + 0.015*meanCp*t
	turned := (meanH - 275) / 25
	rT := -math.Sin(radians(60*math.Exp(-turned*turned))) * 2 * math.Sqrt(pow7(meanCp)/(pow7(meanCp)+pow7(25)))

	l, c, h := dL/sL, dC/sC, dH/sH
	return math.Sqrt(l*l + c*c + h*h + rT*c*h)
}

func pow7(v float64) float64 { return math.Pow(v, 7) }

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }

// hueOf is the hue angle, 0 to 360; 0 for a grey.
func hueOf(c lab) float64 {
	if c.a == 0 && c.b == 0 {
		return 0
	}
	h := math.Atan2(c.b, c.a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return h
}

// hueStep is the way round from one hue to the other, −180 to 180.
func hueStep(h1, h2, chromas float64) float64 {
	switch d := h2 - h1; {
	case chromas == 0:
		return 0
	case d > 180:
		return d - 360
	case d < -180:
		return d + 360
	default:
		return d
	}
}

// hueMean is the hue half way between two along the shorter way.
func hueMean(h1, h2, chromas float64) float64 {
	sum := h1 + h2
	switch {
	case chromas == 0:
		return sum
	case math.Abs(h1-h2) <= 180:
		return sum / 2
	case sum < 360:
		return (sum + 360) / 2
	default:
		return (sum - 360) / 2
	}
}

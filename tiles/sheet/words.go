package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tussock/layers"
)

// The cautions that stand beside every map. The last gives way to the charity's
// own words on distance.
const (
	neitherNor   = "A place that suits a species need not hold it, and a place that suits it poorly may. The map shows neither presence nor absence."
	deskStudy    = "This is a desk study. It replaces no survey by a qualified and, where the law asks, licensed person. Local codes and permits decide."
	keepDistance = "Keep your distance from animals. Do not handle or disturb them."
)

// allCautions are the program's and the charity's, each once.
func (w Words) allCautions() []string {
	list := []string{neitherNor, deskStudy}
	speaks := func(c string) bool { return strings.Contains(strings.ToLower(c), "distance") }
	if !slices.ContainsFunc(w.Cautions, speaks) {
		list = append(list, keepDistance)
	}
	for _, c := range w.Cautions {
		if !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	return list
}

// audienceWords say whom a picture is for.
var audienceWords = map[layers.Audience]string{
	layers.Public: "for the public", layers.Volunteer: "for volunteers",
	layers.Partner: "for partners under agreement", layers.Staff: "for staff only, not to be passed on",
}

// provenance is what a reader needs to know of how the picture came about, each
// part a sentence of its own.
func (p *Picture) provenance(f frame) []string {
	g := f.grid
	lines := []string{
		fmt.Sprintf("Made %s. Reference date %s. Model version %s.", audienceWords[p.Words.Audience], p.Words.Date, p.Words.Version),
		p.cellWords(g), "Grid: " + crsWords(g.CRS) + ".",
	}
	if len(p.Words.Licences) > 0 {
		lines = append(lines, "Sources and licences: "+strings.Join(p.Words.Licences, "; ")+".")
	}
	return lines
}

func (p *Picture) cellWords(g layers.Grid) string {
	if p.Map.MapCell > g.Cell {
		return fmt.Sprintf("Generalised for this audience: nothing finer than %s is shown.", length(p.Map.MapCell))
	}
	return fmt.Sprintf("Cells of %s.", length(g.Cell))
}

func crsWords(c layers.CRS) string {
	if c.Code() == "" {
		return c.Name()
	}
	return c.Name() + " (" + c.Code() + ")"
}

var (
	cautionHeading = text{bold, 9, ink}
	cautionText    = text{regular, 8, ink}
	hazardHeading  = text{bold, 9, alarm}
)

// drawCautions writes what everybody must know before using the map, over a
// pale field with a bar in front.
func (p pen) drawCautions(w Words, x, y, width float64) float64 {
	pad, bar := 6*p.point, 2.5*p.point
	end := p.cautions(w, x+bar+pad, y+pad, width-bar-2*pad)
	p.DrawRectangle(x, y, width, end+pad-y)
	p.SetColor(pale)
	p.Fill()
	p.DrawRectangle(x, y, bar, end+pad-y)
	p.SetColor(ink)
	if w.Hazard != "" {
		p.SetColor(alarm)
	}
	p.Fill()
	return p.cautions(w, x+bar+pad, y+pad, width-bar-2*pad) + pad
}

func (p pen) cautions(w Words, x, y, width float64) float64 {
	if w.Hazard != "" {
		heading := "Hazard"
		if w.HazardKind != "" {
			heading += ": " + w.HazardKind
		}
		y = p.paragraph(hazardHeading, x, y, width, heading)
		y = p.paragraph(cautionText, x, y, width, w.Hazard)
		if w.FirstAid != "" {
			y = p.paragraph(cautionText, x, y, width, w.FirstAid)
		}
		y += 3 * p.point
	}
	y = p.paragraph(cautionHeading, x, y, width, "Before you use this map") + 0.5*p.point
	list := w.allCautions()
	if len(list) < twoColumns || width < 2*leastColumn*p.point {
		return p.bullets(list, x, y, width)
	}
	gap := columnGap * p.point
	each := (width - gap) / 2
	half := p.halfWay(list, each)
	return math.Max(p.bullets(list[:half], x, y, each), p.bullets(list[half:], x+each+gap, y, each))
}

// twoColumns is from how many cautions they stand in two columns.
const twoColumns = 6

// halfWay is after how many cautions the second column starts, so that both are
// about as long.
func (p pen) halfWay(list []string, width float64) int {
	lines := make([]int, len(list))
	total := 0
	for i, c := range list {
		lines[i] = len(p.wrap(cautionText, c, width-6*p.point))
		total += lines[i]
	}
	first := 0
	for i, n := range lines {
		if first += n; 2*first >= total {
			return i + 1
		}
	}
	return len(list)
}

func (p pen) bullets(list []string, x, y, width float64) float64 {
	for _, c := range list {
		y = p.bullet(x, y, width, c)
	}
	return y
}

func (p pen) bullet(x, y, width float64, words string) float64 {
	p.DrawCircle(x+1.6*p.point, y+p.ascent(cautionText)/2, 1.1*p.point)
	p.SetColor(quiet)
	p.Fill()
	return p.paragraph(cautionText, x+6*p.point, y, width-6*p.point, words) + 0.8*p.point
}

// drawProvenance writes the small print.
func (p pen) drawProvenance(lines []string, x, y, width float64) float64 {
	p.DrawLine(x, y, x+width, y)
	p.SetColor(rule)
	p.SetLineWidth(0.5 * p.point)
	p.Stroke()
	return p.paragraph(noteText, x, y+4*p.point, width, strings.Join(lines, " "))
}

// titleSize is the largest size, in points, at which a name fits a width in two
// lines.
func (p pen) titleSize(name string, width float64) float64 {
	for _, size := range []float64{22, 18, 15} {
		if len(p.wrap(text{bold, size, ink}, name, width)) <= 2 {
			return size
		}
	}
	return 12
}

// drawTitle writes the names and what the map shows, the area on the right.
func (p pen) drawTitle(w Words, x, y, width float64) float64 {
	area := text{bold, 9.5, quiet}
	areaLines := p.wrap(area, w.Area, width*0.3)
	right := 0.0
	for i, line := range areaLines {
		p.writeRight(area, x+width, y+p.ascent(area)+float64(i)*p.lineHeight(area), line)
		right = math.Max(right, p.measure(area, line))
	}
	areaEnd := y + float64(len(areaLines))*p.lineHeight(area)
	whom := text{regular, 9, quiet}
	if w.Audience != layers.Public {
		whom = text{bold, 9, alarm}
	}
	p.writeRight(whom, x+width, areaEnd+p.ascent(whom), audienceWords[w.Audience])
	right = math.Max(right, p.measure(whom, audienceWords[w.Audience]))
	areaEnd += p.lineHeight(whom)
	room := width - right - 12*p.point
	y = p.paragraph(text{bold, p.titleSize(w.Name, room), ink}, x, y, room, w.Name)
	shows := text{regular, 9.5, quiet}
	if w.Scientific != "" && w.Scientific != w.Name {
		t := text{italic, 11, ink}
		lines := p.wrap(t, w.Scientific, room)
		y = p.paragraph(t, x, y, room, w.Scientific)
		after := x + p.measure(t, lines[len(lines)-1]) + 12*p.point
		if after+p.measure(shows, w.Shows) <= x+room {
			p.write(shows, after, y-p.lineHeight(t)+p.ascent(t), w.Shows)
			return math.Max(y, areaEnd)
		}
	}
	return math.Max(p.paragraph(shows, x, y+1*p.point, width, w.Shows), areaEnd)
}

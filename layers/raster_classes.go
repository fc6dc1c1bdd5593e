package layers

import (
	"image/color"
	"math"
	"strings"

	"tussock/layers/internal/gdal"
)

// Usages of attribute table columns (GDALRATFieldUsage in gdal.h).
const (
	usageName  = 2
	usageMin   = 3
	usageBoth  = 5
	usageRed   = 6
	usageGreen = 7
	usageBlue  = 8
)

// classesOf are a band's named classes: from its attribute table, else from its
// category names, with the table's colours, else the palette's. Rows without a
// name are fillers and no classes; the counts that a table may hold are of the
// file that it was made for, and are not believed.
func classesOf(b gdal.Band) []Class {
	classes := tableClasses(b.Table)
	if classes == nil {
		for value, name := range b.Categories {
			if name = strings.TrimSpace(name); name != "" {
				classes = append(classes, Class{Value: value, Name: name})
			}
		}
	}
	for i, c := range classes {
		if c.Colour.A == 0 && c.Value >= 0 && c.Value < len(b.Colours) {
			classes[i].Colour = b.Colours[c.Value]
		}
	}
	return classes
}

func tableClasses(t gdal.Table) (classes []Class) {
	names := nameColumn(t)
	if names == nil {
		return nil
	}
	values := column(t, usageBoth, usageMin)
	if values == nil {
		values = columnNamed(t, "value")
	}
	colours := [3]*gdal.Column{column(t, usageRed), column(t, usageGreen), column(t, usageBlue)}
	for i, name := range names.Texts {
		value := rowValue(t, values, i)
		if name = strings.TrimSpace(name); name == "" || value != math.Trunc(value) || math.Abs(value) > math.MaxInt32 {
			continue
		}
		classes = append(classes, Class{Value: int(value), Name: name, Colour: rowColour(colours, i)})
	}
	return classes
}

// rowValue is the stored number that a row is about: its value column, else its
// bin, else its place in the table.
func rowValue(t gdal.Table, values *gdal.Column, i int) float64 {
	switch {
	case values != nil:
		return values.Numbers[i]
	case t.Binned:
		return t.First + float64(i)*t.Step
	}
	return float64(i)
}

// rowColour is a row's colour where the table has three columns of 0 to 255, or
// of fractions.
func rowColour(channels [3]*gdal.Column, i int) color.NRGBA {
	var c [3]uint8
	for k, channel := range channels {
		if channel == nil {
			return color.NRGBA{}
		}
		v := channel.Numbers[i]
		if fractions(channel.Numbers) {
			v = math.Round(v * 255)
		}
		c[k] = uint8(min(max(v, 0), 255))
	}
	return color.NRGBA{c[0], c[1], c[2], 255}
}

func fractions(numbers []float64) bool {
	for _, v := range numbers {
		if v != math.Trunc(v) && v > 0 && v < 1 {
			return true
		}
	}
	return false
}

func nameColumn(t gdal.Table) *gdal.Column {
	for i, c := range t.Columns {
		if c.Usage == usageName && c.Texts != nil {
			return &t.Columns[i]
		}
	}
	for i, c := range t.Columns {
		if c.Texts != nil {
			return &t.Columns[i]
		}
	}
	return nil
}

// column is the first column of numbers with one of these usages.
func column(t gdal.Table, usages ...int) *gdal.Column {
	for _, usage := range usages {
		for i, c := range t.Columns {
			if c.Usage == usage && c.Numbers != nil {
				return &t.Columns[i]
			}
		}
	}
	return nil
}

func columnNamed(t gdal.Table, name string) *gdal.Column {
	for i, c := range t.Columns {
		if strings.EqualFold(c.Name, name) && c.Numbers != nil {
			return &t.Columns[i]
		}
	}
	return nil
}

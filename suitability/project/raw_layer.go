package project

import (
	"image/color"
	"reflect"
	"regexp"
	"strconv"

	"github.com/goccy/go-yaml/ast"
)

type layer struct {
	at
	Source     string              `yaml:"source" need:"yes" doc:"a file, or any source that GDAL/OGR reads"`
	Kind       string              `yaml:"kind" need:"yes" of:"classes|quantity|features" doc:"what it holds: classes, a quantity, or features (points, lines, polygons)"`
	Band       *int                `yaml:"band" is:"[1,65535]" doc:"band of a raster, from 1"`
	Resample   string              `yaml:"resample" of:"nearest|majority|bilinear|average" doc:"how a raster is brought to the grid's cells"`
	Nodata     *float64            `yaml:"nodata" doc:"the number that means unknown, where the file does not say so itself"`
	Classes    ordered[layerClass] `yaml:"classes" doc:"names of the classes, by their number in the source; else they come from the source"`
	Unit       string              `yaml:"unit" doc:"unit of a quantity"`
	Layer      string              `yaml:"layer" doc:"the layer of a vector source with several"`
	Where      string              `yaml:"where" doc:"attribute filter, as in SQL: surface = 'sealed'"`
	ClassField string              `yaml:"class_field" doc:"attribute that holds the class of each polygon"`
	Burn       string              `yaml:"burn" of:"centre|touch|share" doc:"how features become cells: by the cell's centre, by touch, or by the share of its area"`
	Width      float64             `yaml:"width" is:"(0,100000]" doc:"width given to lines under share, metres"`
	Traffic    string              `yaml:"traffic" doc:"attribute that holds a road's vehicles per day"`
	Licence    string              `yaml:"licence" doc:"the source's licence, for what is published from it"`
}

// layerClass is a class's name, or its name and colour.
type layerClass struct {
	at
	Name   word   `yaml:"name" need:"yes" doc:"name of the class"`
	Colour colour `yaml:"colour" doc:"colour, as #aa8800, in quotes"`
}

func (c *layerClass) fromNode(d *document, n ast.Node, path string, r rule) {
	if _, ok := mappingOf(n); ok {
		d.decodeStruct(n, reflect.ValueOf(c).Elem(), path)
		return
	}
	c.at = at{d, path}
	c.Name.fromNode(d, n, path, rule{})
}

type colour struct{ color.NRGBA }

var hexColour = regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)

func (c *colour) fromNode(d *document, n ast.Node, path string, r rule) {
	if _, nothing := n.(*ast.NullNode); nothing {
		d.problem(path, `put it in quotes, as "#aa8800": without them # starts a comment`, "no colour is written here")
		return
	}
	var text string
	d.decodeText(n, reflect.ValueOf(&text).Elem(), path, rule{})
	if text == "" {
		return
	}
	if !hexColour.MatchString(text) {
		d.problem(path, `write it as "#aa8800": red, green and blue, two hexadecimal digits each`, "%q is no colour", short(text))
		return
	}
	rgb, _ := strconv.ParseUint(text[1:], 16, 32)
	c.NRGBA = color.NRGBA{uint8(rgb >> 16), uint8(rgb >> 8), uint8(rgb), 255}
}

package project

// picture is how finished pictures of the maps are drawn.
type picture struct {
	at
	Width   *int          `yaml:"width" is:"[800,8000]" doc:"width of a picture in pixels"`
	Context []contextMark `yaml:"context" doc:"what is drawn over a map from the project's own layers, in the order in which it is drawn"`
	Relief  string        `yaml:"relief" doc:"a layer of elevations, shaded under what the map leaves open"`
}

// contextMark is one thing drawn over a map.
type contextMark struct {
	at
	Layer   string `yaml:"layer" need:"yes" doc:"name of the layer"`
	As      string `yaml:"as" need:"yes" of:"water|road|path|railway|boundary" doc:"what it is drawn as"`
	Classes []word `yaml:"classes" few:"1" doc:"the classes that are drawn, of a layer of classes"`
	By      string `yaml:"by" doc:"attribute that sorts roads, such as class"`
	Order   []word `yaml:"order" few:"1" doc:"values of that attribute, from the widest road to the narrowest"`
	Words   string `yaml:"words" doc:"what the legend calls it"`
}

// The symbols that a layer may be drawn as.
const (
	asWater = "water"
	asRoad  = "road"
)

// Picture is how finished pictures of the maps are drawn.
type Picture struct {
	Width   int // pixels; 0 where nothing is said
	Context []ContextLayer
	Relief  string // name of a layer of elevations; "" for none
}

// ContextLayer is one layer that is drawn over a map.
type ContextLayer struct {
	Layer   string
	As      string   // water, road, path, railway or boundary
	Classes []string // of a layer of classes
	By      string   // attribute that sorts roads; "" where they are all alike
	Order   []string // its values, from the widest road to the narrowest
	Words   string   // what the legend calls it; "" for the usual words
}

// picture is the section as other packages take it; where no context was
// written, it is what can be told from the layers themselves.
func (r *reading) picture() Picture {
	p := Picture{Relief: r.file.Picture.Relief}
	if r.file.Picture.Width != nil {
		p.Width = *r.file.Picture.Width
	}
	for _, c := range r.file.Picture.Context {
		p.Context = append(p.Context, ContextLayer{
			Layer: c.Layer, As: c.As, Classes: texts(c.Classes), By: c.By, Order: texts(c.Order), Words: c.Words})
	}
	if !r.file.Picture.has("context") {
		p.Context = r.usualContext()
	}
	return p
}

// usualContext is roads that say how much traffic they have.
func (r *reading) usualContext() []ContextLayer {
	var list []ContextLayer
	for _, l := range r.file.Layers {
		if l.Value.Kind == "features" && l.Value.Traffic != "" {
			list = append(list, ContextLayer{Layer: l.Name, As: asRoad})
		}
	}
	return list
}

package evidence

import (
	"context"

	"tussock/layers"
	"tussock/suitability"
)

// walked is the cells of a window that a map is judged on.
type walked struct {
	suitability.Habitat
	usable layers.Block
}

// walk goes through the whole area window by window, and hands each on. Windows
// are squares of a side that changes nothing but the memory: what is counted is
// whole numbers.
func (l looker) walk(ctx context.Context, subjects []suitability.Subject, visit func([]walked)) error {
	for _, w := range l.windows() {
		if err := ctx.Err(); err != nil {
			return err
		}
		list, err := l.job.Habitats(w, subjects...)
		if err != nil {
			return err
		}
		grounds := make([]walked, len(list))
		for k, h := range list {
			grounds[k] = walked{h, usableOf(h)}
		}
		visit(grounds)
		if l.walked != nil {
			l.walked()
		}
	}
	return nil
}

func (l looker) windows() []layers.Window {
	var list []layers.Window
	for row := 0; row < l.job.Grid.Rows; row += l.window {
		for col := 0; col < l.job.Grid.Cols; col += l.window {
			list = append(list, layers.Window{Col: col, Row: row, Cols: l.window, Rows: l.window}.Intersect(l.job.Grid.Window()))
		}
	}
	return list
}

// cells hands on every cell that is assessed, not excluded, and of a standing
// that may count, whether or not the edge does.
func (g walked) cells(each func(col, row int, s float32, in suitability.Standing)) {
	w := g.usable.Window
	for row := w.Row; row < w.Bottom(); row++ {
		standing := g.InRange.CodeRow(row)
		for i, s := range g.usable.ValueRow(row) {
			if in := suitability.Standing(standing[i]); s == s && (inside(in) || in == suitability.Edge) {
				each(w.Col+i, row, s, in)
			}
		}
	}
}

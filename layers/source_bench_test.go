package layers

import "testing"

func BenchmarkTransformPoints(b *testing.B) {
	transform, err := NewTransform(mustCRS(b, "EPSG:27700"), WebMercator())
	if err != nil {
		b.Fatal(err)
	}
	defer transform.Close()
	const n = 1024
	xs, ys := make([]float64, n), make([]float64, n)
	b.ReportAllocs()
	for b.Loop() {
		for i := range xs {
			xs[i], ys[i] = 400000+float64(i), 300000-float64(i)
		}
		if err := transform.Points(xs, ys); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/point")
}

func BenchmarkRasterReadFloat32(b *testing.B) {
	r, err := OpenRaster("../testdata/bei/elev.tif", 1)
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	cells := make([]float32, 201*101)
	b.SetBytes(int64(4 * len(cells)))
	b.ReportAllocs()
	for b.Loop() {
		if err := r.ReadFloat32(0, 0, 201, 101, cells); err != nil {
			b.Fatal(err)
		}
	}
}

package land

// WriteFiles writes the ground into a folder: ground/ and boundary.geojson.
func (d *District) WriteFiles(folder string) error { return nil }

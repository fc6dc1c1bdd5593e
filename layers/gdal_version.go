package layers

import "tussock/layers/internal/gdal"

// GDALVersion is the version of GDAL that reads the sources, such as "3.6.2".
func GDALVersion() string { return gdal.Version() }

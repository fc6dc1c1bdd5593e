"""Reads rasters with GDAL and reports them as JSON: the folder for raw cells, then
the files. Exit status 77 where GDAL's Python binding is missing."""
import json
import os
import sys

try:
    from osgeo import gdal
    from osgeo_utils.samples import validate_cloud_optimized_geotiff as validator
    import numpy
except ImportError:
    sys.exit(77)

gdal.DontUseExceptions()  # a local CRS has no place on Earth, which gdal.Info calls an error
messages = []
gdal.PushErrorHandler(lambda level, code, text: messages.append(text) if level >= gdal.CE_Warning else None)


def cells(band, path):
    array = band.ReadAsArray()
    if array.dtype == numpy.float32:
        array[numpy.isnan(array)] = numpy.float32("nan")
        bits = array.view(numpy.uint32)
        bits[numpy.isnan(array)] = 0x7FC00000
    array.tofile(path)
    return {"Cols": band.XSize, "Rows": band.YSize, "Path": path}


def table(band):
    rat = band.GetDefaultRAT()
    if rat is None:
        return []
    columns = range(rat.GetColumnCount())
    rows = [[rat.GetNameOfCol(c) for c in columns]]
    for r in range(rat.GetRowCount()):
        rows.append([rat.GetValueAsString(r, c) if rat.GetTypeOfCol(c) == gdal.GFT_String else rat.GetValueAsInt(r, c) for c in columns])
    return rows


def report(path, folder, number):
    del messages[:]
    ds = gdal.Open(path)
    band = ds.GetRasterBand(1)
    srs = ds.GetSpatialRef()
    out = {"Info": gdal.Info(ds, format="json"), "Table": table(band), "Categories": band.GetCategoryNames()}
    if srs.IsLocal():
        del messages[:]
    out["Code"] = ""
    if srs.GetAuthorityCode(None):
        out["Code"] = srs.GetAuthorityName(None) + ":" + srs.GetAuthorityCode(None)
    kind = "local" if srs.IsLocal() else "projected"
    out["SRS"] = "%s, %s, %s %g" % (srs.GetName(), kind, srs.GetLinearUnitsName(), srs.GetLinearUnits())
    colours = band.GetColorTable()
    if colours:
        out["Palette"] = [list(colours.GetColorEntry(i)) for i in range(colours.GetCount())]
    out["Levels"] = [cells(band, os.path.join(folder, "%d-0.raw" % number))]
    for i in range(band.GetOverviewCount()):
        out["Levels"].append(cells(band.GetOverview(i), os.path.join(folder, "%d-%d.raw" % (number, i + 1))))
    out["Warnings"], out["Errors"], _ = validator.validate(ds, full_check=True)
    out["Messages"] = list(messages)
    return out


print(json.dumps([report(p, sys.argv[1], n) for n, p in enumerate(sys.argv[2:])]))

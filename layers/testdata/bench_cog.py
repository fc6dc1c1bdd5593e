"""Times GDAL's COG driver: raw cells, side, DEFLATE level. Prints seconds, bytes."""
import os
import sys
import time

import numpy
from osgeo import gdal

side = int(sys.argv[2])
array = numpy.fromfile(sys.argv[1], numpy.uint8).reshape(side, side)
ds = gdal.GetDriverByName("MEM").Create("", side, side, 1, gdal.GDT_Byte)
ds.SetGeoTransform((0, 5, 0, 0, 0, -5))
ds.GetRasterBand(1).SetNoDataValue(255)
ds.GetRasterBand(1).WriteArray(array)
path = sys.argv[1] + ".gdal.tif"
options = ["COMPRESS=DEFLATE", "PREDICTOR=YES", "BLOCKSIZE=256", "LEVEL=" + sys.argv[3], "RESAMPLING=AVERAGE"]
best = 1e9
for _ in range(3):
    start = time.perf_counter()
    gdal.GetDriverByName("COG").CreateCopy(path, ds, options=options).FlushCache()
    best = min(best, time.perf_counter() - start)
print(best, os.path.getsize(path))

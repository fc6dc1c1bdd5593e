"""Documented ranges: which cell has which standing, by GDAL's rasteriser, and
how far a cell is from a drawn edge."""
import numpy as np
from osgeo import gdal, ogr, osr
from scipy import ndimage

import shapes
from ground import PAD

DOCUMENTED, UNCERTAIN, HISTORIC, INTRODUCED, VAGRANT, EDGE, OUTSIDE, EXCLUDED, NOT_ASSESSED, NOBODY = range(1, 11)
STATUS = {"extant": DOCUMENTED, "reintroduced": DOCUMENTED, "uncertain": UNCERTAIN, "historic": HISTORIC,
          "introduced": INTRODUCED, "vagrant": VAGRANT}
# where polygons overlap the last of these wins
PRECEDENCE = (VAGRANT, HISTORIC, INTRODUCED, UNCERTAIN, DOCUMENTED)
# what the range makes of a suitability; nothing is shown elsewhere
FACTOR = {DOCUMENTED: 1, UNCERTAIN: 1, INTRODUCED: 1, NOBODY: 1, VAGRANT: 0}


class Range:
    """Standings of the padded array, and the lines that decide them."""

    def __init__(self, g, species):
        self.edge = species["range"]["edge"] / g.cell
        assert not species["range"].get("historic", False) and self.edge + 2 <= PAD
        self.drawn = [(STATUS[a["status"]], rings) for a, _, rings in g.once("ranges", lambda: drawn(g))
                      if a["species"] == species["scientific"]]
        self.standing = np.full(g.padded, OUTSIDE if self.drawn else NOBODY, np.uint8)
        for status in PRECEDENCE:
            for s, rings in self.drawn:
                if s == status:
                    self.standing[burned(g, rings)] = status
        self.shore = [ring for s, rings in self.drawn if s in (DOCUMENTED, UNCERTAIN) for ring in rings]
        self.mark_edge()

    def mark_edge(self):
        """Outside cells whose centres are nearer to a documented or uncertain polygon
        than the edge distance. A cell that a boundary touches has a place of it within
        half a diagonal of its centre, so that only cells near the limit are measured."""
        if not self.shore:
            return
        touched = np.zeros(self.standing.shape, bool)
        touched[shapes.touched("line", self.shore, touched.shape)] = True
        about = ndimage.distance_transform_edt(~touched)
        outside = self.standing == OUTSIDE
        near = about < self.edge
        rows, cols = np.nonzero(outside & (np.abs(about - self.edge) < 0.8))
        near[rows, cols] = shapes.boundary_distance(self.shore, cols + 0.5, rows + 0.5) < self.edge
        self.standing[outside & near] = EDGE

    def margin(self, rows, cols):
        """How far cells' centres, in the padded array, are from where the standing
        changes: from a drawn line, or from the edge distance off one."""
        lines = [ring for _, rings in self.drawn for ring in rings]
        to_line = shapes.boundary_distance(lines, cols + 0.5, rows + 0.5)
        to_shore = shapes.boundary_distance(self.shore, cols + 0.5, rows + 0.5) if self.shore else np.inf
        return np.minimum(to_line, np.abs(to_shore - self.edge))


def drawn(g):
    found = []
    for source in g.project["ranges"]:
        assert source["fields"]["species"] == "species" and source["fields"]["status"] == "status"
        found += g.geojson(source["source"])
    return found


def burned(g, rings):
    """Cells whose centres lie in an area, by GDAL."""
    rows, cols = g.padded
    target = gdal.GetDriverByName("MEM").Create("", cols, rows, 1, gdal.GDT_Byte)
    # in cells of the padded array, rows running down as GDAL's own pixels do
    target.SetGeoTransform((0, 1, 0, 0, 0, 1))
    srs = osr.SpatialReference()
    srs.SetLocalCS("cells")
    target.SetProjection(srs.ExportToWkt())
    source = ogr.GetDriverByName("Memory").CreateDataSource("")
    layer = source.CreateLayer("range", srs, ogr.wkbPolygon)
    area = ogr.Geometry(ogr.wkbPolygon)  # rings of several parts: even-odd
    for ring in rings:
        line = ogr.Geometry(ogr.wkbLinearRing)
        for u, v in ring:
            line.AddPoint_2D(float(u), float(v))
        area.AddGeometry(line)
    feature = ogr.Feature(layer.GetLayerDefn())
    feature.SetGeometry(area)
    layer.CreateFeature(feature)
    gdal.RasterizeLayer(target, [1], layer, burn_values=[1])
    return target.ReadAsArray() == 1

"""Height rasters written by GDAL, for tests/known_hole_parts/raster.rs.

    python tests/peers/raster_oracle.py tests/data

Needs rasterio (made with 1.4.4, GDAL 3.10.3) and numpy.

heights_hill.tif: 20 m * exp(-r^2 / 7200 m^2) about the place that longitude -3.2, latitude 55.9 has
in EPSG:32630; 90 x 90 cells of 8 m; 32-bit floats in tiles, LZW with the floating-point predictor.
heights_plane.tif and .asc: 50 + column + row in cells of 0.0001 degrees of EPSG:4326, the first
of them without a height; 16-bit integers, Deflate with the horizontal predictor, coordinates those
of the cells' middles; the same as an ESRI ASCII grid.
heights_slope_lonlat.tif and heights_slope_utm.tif: 40 + column / 2 + row / 4 in 60 x 60 cells, the
first of them without a height; of 0.0002 x 0.0001 degrees of EPSG:4326 as 32-bit floats in strips,
Deflate with the floating-point predictor; of 10 m of EPSG:32630 as 16-bit integers in tiles of 32,
Deflate with the horizontal predictor.
heights_slope_zstd.tif and heights_slope_turned.tif: what is not read, the first of them compressed
with Zstandard, the second turned by 30 degrees.
"""

import pathlib
import sys

import numpy as np
import rasterio
import rasterio.shutil
from rasterio.transform import Affine
from rasterio.warp import transform

folder = pathlib.Path(sys.argv[1])
(x,), (y,) = transform("EPSG:4326", "EPSG:32630", [-3.2], [55.9])
west, north, side, size = round(x) - 360, round(y) + 360, 8.0, 90
column, row = np.meshgrid(np.arange(size), np.arange(size))
east = west + side * (column + 0.5) - x
up = north - side * (row + 0.5) - y
hill = (20.0 * np.exp(-(east**2 + up**2) / 7200.0)).astype("float32")
with rasterio.open(
    folder / "heights_hill.tif", "w", driver="GTiff", width=size, height=size, count=1,
    dtype="float32", crs="EPSG:32630", transform=Affine(side, 0, west, 0, -side, north),
    tiled=True, blockxsize=48, blockysize=32, compress="LZW", predictor=3,
) as out:
    out.write(hill, 1)

column, row = np.meshgrid(np.arange(150), np.arange(70))
plane = (50 + column + row).astype("int16")
plane[0, 0] = -32768
profile = dict(
    width=150, height=70, count=1, dtype="int16", crs="EPSG:4326", nodata=-32768,
    transform=Affine(1e-4, 0, -3.2075 - 5e-5, 0, -1e-4, 55.9035 + 5e-5),
)
with rasterio.open(
    folder / "heights_plane.tif", "w", driver="GTiff", compress="DEFLATE", predictor=2, **profile
) as out:
    out.write(plane, 1)
    out.update_tags(AREA_OR_POINT="Point")
with rasterio.open(folder / "heights_plane.tif") as made:
    rasterio.shutil.copy(made, folder / "heights_plane.asc", driver="AAIGrid")
column, row = np.meshgrid(np.arange(60), np.arange(60))
slope = (40 + column / 2 + row / 4).astype("float32")
slope[0, 0] = -9999
profile = dict(
    width=60, height=60, count=1, dtype="float32", crs="EPSG:4326", nodata=-9999,
    transform=Affine(2e-4, 0, -3.206, 0, -1e-4, 55.903),
)
turned = profile["transform"] * Affine.rotation(30)
for name, more in {
    "lonlat": dict(compress="DEFLATE", predictor=3),
    "zstd": dict(compress="ZSTD"),
    "turned": dict(compress="DEFLATE", transform=turned),
}.items():
    with rasterio.open(
        folder / f"heights_slope_{name}.tif", "w", driver="GTiff", **{**profile, **more}
    ) as out:
        out.write(slope, 1)
west, north = round(x) - 300, round(y) + 300
with rasterio.open(
    folder / "heights_slope_utm.tif", "w", driver="GTiff", width=60, height=60, count=1,
    dtype="int16", crs="EPSG:32630", nodata=-32768, transform=Affine(10, 0, west, 0, -10, north),
    tiled=True, blockxsize=32, blockysize=32, compress="DEFLATE", predictor=2,
) as out:
    slope[0, 0] = -32768
    out.write(slope.astype("int16"), 1)
for extra in ("heights_plane.prj", "heights_plane.asc.aux.xml"):
    (folder / extra).unlink(missing_ok=True)

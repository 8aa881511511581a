#!/usr/bin/env python3
"""Areas of use, and positions as PROJ converts them.

    pip install pyproj
    python3 tests/peers/coordinate_systems.py areas > src/hole/crs_areas.csv
    python3 tests/peers/coordinate_systems.py positions > tests/data/coordinate_systems.csv

Both come from PROJ's own copy of the EPSG Geodetic Parameter Dataset. PROJ converts without grid
files and without a network.
"""
import math
import sys

import pyproj
from pyproj.database import query_crs_info
from pyproj.enums import PJType

# National grids, state grids and zones in which maps of courses are made, and one system or more for
# each kind of projection.
SYSTEMS = """
27700 29902 2157 2154 3942 25829 25832 25833 32633 32718 28992 31370 3812 2169 21781 2056
31287 31467 31468 4647 5514 2180 2176 3067 3006 3021 5110 25884 3301 3059 3346 23700 3765 3794
2100 3003 3004 6707 3763 2398 4839 3035 3395 3857 3413 3031
26910 26918 26912 2263 2229 2230 2927 3435 2249 2264 2278 6539 6420 2958 3347 2953 32188 3979
4485 6372 31983 31979 5343 3116 9377 32717
2193 28355 7855 3112 3577 6668 6677 2450 3414 3375 3380 5235 24047 32648 3825 4513 4549
32643 7755 4326 4277 4258 4269 4283 4167 4612 32735 22234 20137 2095 5880
2039 28191 20437 6637 3295 3078 3161 5070 3408 8857
""".split()


def areas():
    print("code,west,south,east,north")
    infos = query_crs_info(auth_name="EPSG", pj_types=[PJType.PROJECTED_CRS], allow_deprecated=True)
    for info in sorted(infos, key=lambda info: int(info.code)):
        area = info.area_of_use
        if area is not None:
            low = [math.floor(area.west), math.floor(area.south)]
            high = [math.ceil(area.east), math.ceil(area.north)]
            print(",".join(str(edge) for edge in [int(info.code), *low, *high]))


def positions():
    print("code,name,x,y,lon,lat")
    infos = query_crs_info(
        auth_name="EPSG",
        pj_types=[PJType.PROJECTED_CRS, PJType.GEOGRAPHIC_2D_CRS],
        allow_deprecated=True,
    )
    known = {info.code: info for info in infos}
    for code in SYSTEMS:
        info = known[code]
        area = info.area_of_use
        east = area.east + (360 if area.west > area.east else 0)
        # Two fifths of the way across, where a system is used and no axis of it lies.
        lon = area.west + 0.4 * (east - area.west)
        lat = max(-80, area.south) + 0.4 * (min(84, area.north) - max(-80, area.south))
        lon -= 360 if lon > 180 else 0
        to_degrees = pyproj.Transformer.from_crs("EPSG:" + code, "EPSG:4326", always_xy=True)
        x, y = to_degrees.transform(round(lon, 3), round(lat, 3), direction="INVERSE")
        x, y = round(x, 4 if abs(x) > 400 else 9), round(y, 4 if abs(y) > 400 else 9)
        lon, lat = to_degrees.transform(x, y)
        print(f"{code},{info.name.replace(',', ';')},{x!r},{y!r},{lon:.10f},{lat:.10f}")


if __name__ == "__main__":
    pyproj.network.set_network_enabled(False)
    print(f"PROJ {pyproj.proj_version_str}", file=sys.stderr)
    {"areas": areas, "positions": positions}[sys.argv[1]]()

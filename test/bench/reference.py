"""GDAL (its C library, by ctypes) and scipy as references of the bench: one JSON request a line in, one answer a line out.

Timed is the processor's time of the call alone: no start of a process, no file. One thread each (GDAL_NUM_THREADS=1, workers=1).
A request is {"task", "tool", "x", "y", "z" (files of doubles), "cell_m", "cols", "rows", "k", "out", ...}; the answer is {"ms"}, and the
result lies in the file "out" as doubles. {"task": "tools"} answers which tools are here.
"""

import ctypes
import ctypes.util
import json
import os
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import numpy as np

try:
    import scipy
    from scipy.spatial import cKDTree
except ImportError:
    scipy = None


def load_gdal():
    found = ctypes.util.find_library("gdal")
    if not found:
        return None
    lib = ctypes.CDLL(found)
    lib.GDALVersionInfo.restype = ctypes.c_char_p
    parse = getattr(lib, "GDALGridParseAlgorithmAndOptions", None) or getattr(lib, "ParseAlgorithmAndOptions", None)
    if parse is None:
        return None
    lib.parse = parse
    for call in ("GDALGetDriverByName", "GDALCreate", "GDALGetRasterBand", "OGRGetDriverByName", "OGR_Dr_CreateDataSource",
                 "OGR_DS_CreateLayer", "OGR_Fld_Create"):
        getattr(lib, call).restype = ctypes.c_void_p
    lib.GDALAllRegister()
    lib.CPLSetConfigOption(b"GDAL_NUM_THREADS", b"1")
    return lib


try:
    gdal = load_gdal()
except (AttributeError, OSError):
    gdal = None

P = ctypes.c_void_p
D = ctypes.c_double
U = ctypes.c_uint32
GDT_BYTE, GDT_INT32, GDT_FLOAT64 = 1, 5, 7


def pointer(array):
    return array.ctypes.data_as(P)


def gdal_grid(job, x, y, z):
    """GDALGridCreate over the job's cells; row 0 is the southernmost."""
    plain = b"NO" if job.get("double", True) else b"YES"
    gdal.CPLSetConfigOption(b"GDAL_USE_AVX", plain)
    gdal.CPLSetConfigOption(b"GDAL_USE_SSE", plain)
    name = f"invdist:power={job.get('power', 2)}:smoothing=0"
    if job["task"] == "nearest":
        name = f"invdistnn:power={job.get('power', 2)}:radius={job['radius_m']}:max_points={job['k']}:min_points=1"
    algorithm, options = ctypes.c_int(), P()
    if gdal.parse(name.encode(), ctypes.byref(algorithm), ctypes.byref(options)) != 0:
        raise RuntimeError(name)
    cols, rows, cell = job["cols"], job["rows"], job["cell_m"]
    out = np.empty(cols * rows)
    start = time.process_time()
    error = gdal.GDALGridCreate(algorithm, options, U(len(x)), pointer(x), pointer(y), pointer(z), D(0), D(cols * cell),
                                D(0), D(rows * cell), U(cols), U(rows), GDT_FLOAT64, pointer(out), None, None)
    spent = time.process_time() - start
    if error != 0:
        raise RuntimeError("GDALGridCreate")
    return spent, out


def band_of(values, cols, rows, kind):
    """A raster in memory that uses the array as it is."""
    driver = P(gdal.GDALGetDriverByName(b"MEM"))
    data = P(gdal.GDALCreate(driver, b"", cols, rows, 1, kind, None))
    band = P(gdal.GDALGetRasterBand(data, 1))
    if gdal.GDALRasterIO(band, 1, 0, 0, cols, rows, pointer(values), cols, rows, kind, 0, 0) != 0:
        raise RuntimeError("GDALRasterIO")
    return data, band


def gdal_labels(job):
    labels = np.fromfile(job["labels"], dtype=np.int32)
    cols, rows = job["cols"], job["rows"]
    mask_values = (labels > 0).astype(np.uint8)
    data, band = band_of(labels, cols, rows, GDT_INT32)
    mask_data, mask = band_of(mask_values, cols, rows, GDT_BYTE)
    if job["task"] == "sieve":
        start = time.process_time()
        error = gdal.GDALSieveFilter(band, mask, band, job["least_cells"], 4, None, None, None)
        spent = time.process_time() - start
        out = np.empty(cols * rows, dtype=np.int32)
        gdal.GDALRasterIO(band, 0, 0, 0, cols, rows, pointer(out), cols, rows, GDT_INT32, 0, 0)
    else:
        source = P(gdal.OGR_Dr_CreateDataSource(P(gdal.OGRGetDriverByName(b"Memory")), b"", None))
        layer = P(gdal.OGR_DS_CreateLayer(source, b"", None, 3, None))
        gdal.OGR_L_CreateField(layer, P(gdal.OGR_Fld_Create(b"label", 0)), 1)
        start = time.process_time()
        error = gdal.GDALPolygonize(band, mask, layer, 0, None, None, None)
        spent = time.process_time() - start
        out = np.array([gdal.OGR_L_GetFeatureCount(layer, 1)], dtype=np.int32)
        gdal.OGR_DS_Destroy(source)
    gdal.GDALClose(data)
    gdal.GDALClose(mask_data)
    if error != 0:
        raise RuntimeError(job["task"])
    return spent, out.astype(np.float64)


def scipy_nearest(job, x, y, z):
    cols, rows, cell = job["cols"], job["rows"], job["cell_m"]
    px, py = np.meshgrid((np.arange(cols) + 0.5) * cell, (np.arange(rows) + 0.5) * cell)
    places = np.column_stack([px.ravel(), py.ravel()])
    start = time.process_time()
    tree = cKDTree(np.column_stack([x, y]))
    d, i = tree.query(places, k=job["k"], workers=1)
    w = 1.0 / (d * d)
    out = np.einsum("ij,ij->i", w, z[i]) / w.sum(axis=1)
    return time.process_time() - start, out


def scipy_others(job, x, y, z):
    """Leave-one-out RMSE at every count (0 = all, last) and power, vectorised: one search, cumulated sums, one matrix for all."""
    counts = [k for k in job["counts"] if k > 0]
    powers = job["powers"]
    n, longest = len(x), max(counts)
    start = time.process_time()
    places = np.column_stack([x, y])
    d, i = cKDTree(places).query(places, k=longest + 1, workers=1)
    other = i != np.arange(n)[:, None]
    other[other.all(axis=1), -1] = False
    d = d[other].reshape(n, longest)
    near = z[i[other].reshape(n, longest)]
    inverse = 1.0 / d
    table = np.empty((len(counts) + 1, len(powers)))
    ends = np.array(counts) - 1
    for p, power in enumerate(powers):
        w = power_of(inverse, power)
        sums = np.cumsum(w * near, axis=1)[:, ends] / np.cumsum(w, axis=1)[:, ends]
        table[:-1, p] = np.sqrt(np.mean((sums - z[:, None]) ** 2, axis=0))
    dx = x[:, None] - x[None, :]
    dy = y[:, None] - y[None, :]
    dx *= dx
    dy *= dy
    dx += dy
    np.fill_diagonal(dx, np.inf)
    np.sqrt(dx, out=dx)
    np.divide(1.0, dx, out=dx)
    both = np.column_stack([z, np.ones(n)])
    for p, power in enumerate(powers):
        sums = power_of(dx, power) @ both
        table[-1, p] = np.sqrt(np.mean((sums[:, 0] / sums[:, 1] - z) ** 2))
    return time.process_time() - start, table.ravel()


def power_of(inverse, power):
    if power == 1:
        return inverse
    if power == 2:
        return inverse * inverse
    if power == 3:
        return inverse * inverse * inverse
    if power == 1.5:
        return inverse * np.sqrt(inverse)
    if power == 2.5:
        return inverse * inverse * np.sqrt(inverse)
    return inverse**power


def answer(job):
    if job["task"] == "tools":
        found = {}
        if gdal is not None:
            found["gdal"] = "GDAL " + gdal.GDALVersionInfo(b"RELEASE_NAME").decode()
        if scipy is not None:
            found["scipy"] = f"scipy {scipy.__version__}, numpy {np.__version__}"
        return found
    if job["task"] in ("sieve", "trace"):
        spent, out = gdal_labels(job)
    else:
        x, y, z = (np.fromfile(job[name]) for name in "xyz")
        if job["tool"] == "gdal":
            spent, out = gdal_grid(job, x, y, z)
        elif job["task"] == "nearest":
            spent, out = scipy_nearest(job, x, y, z)
        else:
            spent, out = scipy_others(job, x, y, z)
    out.tofile(job["out"])
    return {"ms": spent * 1000}


for line in sys.stdin:
    try:
        reply = answer(json.loads(line))
    except Exception as error:  # the bench reports it as a reference that did not run
        reply = {"failed": f"{type(error).__name__}: {error}"}
    print(json.dumps(reply), flush=True)

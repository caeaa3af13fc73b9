/* Rectangles with four attributes written by the OGR C API's shapefile driver, features made in a loop: the reference that the
 * bench times our writer against. Reads rows of 6 doubles (west, south, east, north, rate, acres) and prints the processor's milliseconds.
 * The few prototypes are declared here, so that only the library and a compiler are needed. Source: OGR C API documentation. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

typedef void *H;
void GDALAllRegister(void);
H GDALGetDriverByName(const char *);
H GDALCreate(H, const char *, int, int, int, int, char **);
void GDALClose(H);
H OSRNewSpatialReference(const char *);
int OSRImportFromEPSG(H, int);
void OSRSetAxisMappingStrategy(H, int);
H GDALDatasetCreateLayer(H, const char *, H, int, char **);
H OGR_Fld_Create(const char *, int);
void OGR_Fld_SetWidth(H, int);
void OGR_Fld_SetPrecision(H, int);
int OGR_L_CreateField(H, H, int);
H OGR_L_GetLayerDefn(H);
H OGR_F_Create(H);
void OGR_F_Destroy(H);
void OGR_F_SetFieldDouble(H, int, double);
void OGR_F_SetFieldString(H, int, const char *);
int OGR_F_SetGeometryDirectly(H, H);
int OGR_L_CreateFeature(H, H);
H OGR_G_CreateGeometry(int);
void OGR_G_AddPoint_2D(H, double, double);
int OGR_G_AddGeometryDirectly(H, H);

static double cpu_ms(void) {
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return t.tv_sec * 1e3 + t.tv_nsec / 1e6;
}

static void field(H layer, const char *name, int type, int width, int precision) {
  H f = OGR_Fld_Create(name, type);
  OGR_Fld_SetWidth(f, width);
  OGR_Fld_SetPrecision(f, precision);
  OGR_L_CreateField(layer, f, 0);
}

int main(int argc, char **argv) {
  if (argc < 4) return 2;
  int n = atoi(argv[3]);
  double *rows = malloc(sizeof(double) * 6 * (size_t)n);
  FILE *in = fopen(argv[1], "rb");
  if (!in || fread(rows, sizeof(double), 6 * (size_t)n, in) != 6 * (size_t)n) return 1;
  fclose(in);
  GDALAllRegister();
  H driver = GDALGetDriverByName("ESRI Shapefile");
  if (!driver) return 1;
  double start = cpu_ms();
  H set = GDALCreate(driver, argv[2], 0, 0, 0, 0, NULL);
  H crs = OSRNewSpatialReference(NULL);
  OSRImportFromEPSG(crs, 4326);
  OSRSetAxisMappingStrategy(crs, 0);
  H layer = GDALDatasetCreateLayer(set, "ogr", crs, 3, NULL);
  if (!layer) return 1;
  field(layer, "RATE", 2, 12, 2);
  field(layer, "ZONE", 4, 8, 0);
  field(layer, "UNIT", 4, 8, 0);
  field(layer, "ACRES", 2, 14, 6);
  H defn = OGR_L_GetLayerDefn(layer);
  for (int i = 0; i < n; i++) {
    const double *r = rows + 6 * (size_t)i;
    H f = OGR_F_Create(defn);
    OGR_F_SetFieldDouble(f, 0, r[4]);
    OGR_F_SetFieldString(f, 1, "B");
    OGR_F_SetFieldString(f, 2, "lb/ac");
    OGR_F_SetFieldDouble(f, 3, r[5]);
    H ring = OGR_G_CreateGeometry(101);
    OGR_G_AddPoint_2D(ring, r[0], r[1]);
    OGR_G_AddPoint_2D(ring, r[0], r[3]);
    OGR_G_AddPoint_2D(ring, r[2], r[3]);
    OGR_G_AddPoint_2D(ring, r[2], r[1]);
    OGR_G_AddPoint_2D(ring, r[0], r[1]);
    H polygon = OGR_G_CreateGeometry(3);
    OGR_G_AddGeometryDirectly(polygon, ring);
    OGR_F_SetGeometryDirectly(f, polygon);
    if (OGR_L_CreateFeature(layer, f) != 0) return 1;
    OGR_F_Destroy(f);
  }
  GDALClose(set);
  printf("%.3f\n", cpu_ms() - start);
  return 0;
}

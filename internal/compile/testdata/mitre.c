/* Moves every side of a polygon outward and mitres the corners, by GEOS. It reads lines of a distance and a polygon as WKT
   and writes a polygon for each. Debian: libgeos-dev; cc -o mitre mitre.c -lgeos_c. */
#include <geos_c.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

static void say(const char *format, ...)
{
	va_list args;
	va_start(args, format);
	vfprintf(stderr, format, args);
	va_end(args);
	fputc('\n', stderr);
}

int main(void)
{
	static char line[1 << 16];
	initGEOS(say, say);
	GEOSWKTWriter *writer = GEOSWKTWriter_create();
	GEOSWKTWriter_setTrim(writer, 1);
	GEOSWKTWriter_setRoundingPrecision(writer, 9);
	while (fgets(line, sizeof line, stdin)) {
		char *rest;
		double distance = strtod(line, &rest);
		GEOSGeometry *in = GEOSGeomFromWKT(rest);
		if (!in)
			return 1;
		GEOSGeometry *out = GEOSBufferWithStyle(in, distance, 8, GEOSBUF_CAP_FLAT, GEOSBUF_JOIN_MITRE, 100);
		if (!out)
			return 1;
		char *text = GEOSWKTWriter_write(writer, out);
		puts(text);
		GEOSFree(text);
		GEOSGeom_destroy(out);
		GEOSGeom_destroy(in);
	}
	return 0;
}

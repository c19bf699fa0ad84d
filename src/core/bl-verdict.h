/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What was read off a meter or seen. */
typedef enum
{
  BL_READING_VALUE,       /* value */
  BL_READING_OVER,        /* "OL": above every finite limit */
  BL_READING_RANGE,       /* "3..5": value .. high; unsteady, or a swing */
  BL_READING_ANSWER,      /* yes or no */
  BL_READING_NOT_REACHED  /* "-": no evidence */
} BlReadingKind;

typedef struct
{
  BlReadingKind kind;
  double value, high; /* SI base units */
  gboolean answer;
  gboolean both_ways; /* of a diode test: the leads were exchanged too, "0.52/OL" */
  double reverse;     /* what was read then, SI base units; INFINITY: OL. NAN where not both_ways */
} BlReading;

/* Reads what a technician types for a measurement of this kind. FALSE with BL_CORE_ERROR_PARSE and
 * the reason when it is ambiguous or unreadable. A diode test may be read both ways in one entry,
 * "0.52/OL": red on the anode first. kind and value are then those of the first. */
gboolean bl_reading_parse (const char *text, BlMeasures measures, BlReading *reading, GError **error);

/* A reading as text that bl_reading_parse reads back ("11.8", "OL", "3..5", "yes", "-").
 * Returns: (transfer full). */
char *bl_reading_to_text (const BlReading *reading);

/* A meter's accuracy: P percent of reading plus N counts of D, and its input resistance. */
typedef struct
{
  double percent;    /* percent of reading */
  double counts;     /* number of counts */
  double count;      /* value of one count, SI base units */
  double input_ohm;  /* NAN: not given */
} BlMeter;
/* Reads "P%", "P%+N@D" or "N@D", " in 10M"; "" is exact. */
gboolean bl_meter_parse (const char *spec, BlMeter *meter, GError **error);

/* The limits a reading is judged by, resolved from a measurement's expected values.
 * Limits left out are -INFINITY / INFINITY for low / high and NAN for the classes' own limits. */
typedef struct
{
  BlMeasures measures;
  double nominal;      /* NAN: none */
  double low, high;    /* in band is low <= v <= high */
  double absent_below; /* NAN: no absent class by limit */
  double shorted_below, open_above;
  double min[2], max[2], span_below; /* swing: still low up to min[1], still high from max[0] */
  gboolean answer;                   /* check */
  gboolean negative;                 /* nominal below 0: signs are reversed before judging */
  gboolean magnitude;                /* judged without its sign: see bl_band_resolve_on () */
  gboolean follows;                  /* the limits follow another measurement's reading */
  double slope;                      /* of the line followed, per unit of the other reading */
  char *followed;                    /* id of the measurement followed, or NULL */
  guint n_classes;                   /* n of the model: the row's classes and the marks */
  char **classes;                    /* n_classes names in the row's order, then the marks; NULL-terminated */
  guint good;                        /* index of the class expected */
  GArray *marks;                     /* BlBandMark, one per mark, order of the document */
  char *source;
} BlBand;

typedef struct
{
  guint class_index;
  double low, high;
} BlBandMark;

void bl_band_free (BlBand *band);
BlBand *bl_band_copy (const BlBand *band);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlBand, bl_band_free)

/* Resolves the band of a measurement. followed_value and followed_u are the last reading of the
 * measurement it follows (NAN: unread). Returns NULL with an error when the limits are impossible,
 * and NULL with BL_CORE_ERROR_UNKNOWN when it follows an unread one and has no limits of its own.
 * (transfer full) */
BlBand *bl_band_resolve (const BlMeasurement *measurement, double followed_value, double followed_u,
                         GError **error);

/* The same as the board asks for it. What proves a state dead (its "dead_proof") with an upper limit
 * and no lower one is judged by its magnitude on V DC: a capacitor charged the other way round, or leads
 * swapped, is as dangerous, and -325 V is "high" and not in a band up to 10 V. */
BlBand *bl_band_resolve_on (const BlBoard *board, const BlMeasurement *measurement, double followed_value,
                            double followed_u, GError **error);

/* A tolerance, "4 %" or "+5 %/-10 %", as shares (not negative) of nominal below and above it. */
gboolean bl_tolerance_parse (const char *text, double *below, double *above, GError **error);

/* The ends of what counts as in band for kinds with a value: low and high, but from absent_below
 * (shorted_below) where low was left out, and up to open_above where high was. */
void bl_band_edges (const BlBand *band, double *low, double *high);

/* Index of a class by name in the band; -1: it has none of that name. */
int bl_band_class (const BlBand *band, const char *name);

/* The precedence of classes when several are true (model section 3): smaller shows first. series:
 * open comes before shorted. For a measurement's marks the order of the document. */
int bl_band_rank (const BlBand *band, guint class_index, gboolean series);

typedef struct
{
  guint n;            /* number of classes */
  double *weights;    /* w of each class, sum 1; all 0 when there is no evidence */
  char **classes;     /* names, NULL-terminated */
  guint best, second; /* the likeliest two; equal when only one has weight */
  gboolean certain;   /* the best has w >= 0.95: it is announced */
  gboolean evidence;  /* FALSE: not reached, reversed, or no band to judge by */
  gboolean reversed;  /* "leads swapped?" */
  gboolean not_reached;
  double u;           /* standard uncertainty, SI base units; 0: none */
  double value;       /* after correction for loading; NAN where there is none */
} BlVerdict;
void bl_verdict_free (BlVerdict *verdict);
BlVerdict *bl_verdict_copy (const BlVerdict *verdict);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlVerdict, bl_verdict_free)

/* The value of a reading as it counts, and its standard uncertainty, in SI base units:
 * u = (P |v| / 100 + N D) / sqrt 3 (a limit a taken as a rectangle, a / sqrt 3: GUM 4.3.7); for the
 * voltage kinds both times 1 + source/input where both resistances are known. NAN and 0 when the
 * reading has no single value. meter may be NULL (exact). */
void bl_reading_corrected (const BlReading *reading, BlMeasures measures, const BlMeter *meter,
                           double source_ohm, double *value, double *u);

/* Judges a reading (model section 3). A diode read both ways has the verdict of its forward value, unless
 * the reverse one is shorted or low: a junction that conducts where it must not is bad however well it
 * conducts where it must. A reverse value in band or above says nothing (parts beside the diode show so in
 * a circuit), and so does OL. meter may be NULL (exact); source_ohm is the resistance of
 * the source at the test point (NAN: unknown); u_followed adds to the meter's own (0: none).
 * (transfer full), never NULL. */
BlVerdict *bl_judge (const BlBand *band, const BlReading *reading, const BlMeter *meter,
                     double source_ohm, double u_followed);

/* The announced word: a class name, "too close to call", "reversed" or "not reached".
 * Static or owned by the verdict. */
const char *bl_verdict_label (const BlVerdict *verdict);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* The electrical safety test after a repair: of complete equipment, not of a bare board. What is measured, by class
 * of protection, and the limits. Nothing here says that anything is safe: it says which figure lies within which
 * limit. */
typedef enum
{
  BL_SAFETY_CLASS_1, /* protective conductor */
  BL_SAFETY_CLASS_2, /* double or reinforced insulation */
  BL_SAFETY_CLASS_3, /* extra-low voltage */
  BL_N_SAFETY_CLASSES
} BlSafetyClass;
/* "I", "II", "III". */
const char *bl_safety_class_name (BlSafetyClass safety_class);
gboolean bl_safety_class_parse (const char *name, BlSafetyClass *safety_class);

typedef enum
{
  BL_SAFETY_CONDUCTOR,         /* resistance of the protective conductor, ohm */
  BL_SAFETY_INSULATION,        /* resistance of the insulation, ohm */
  BL_SAFETY_CONDUCTOR_CURRENT, /* in the protective conductor, A */
  BL_SAFETY_CONTACT_CURRENT,   /* from parts that can be touched and are on no protective conductor, A */
  BL_N_SAFETY_TESTS
} BlSafetyTest;
/* "protective conductor" ...: as files have it. (transfer none) */
const char *bl_safety_test_name (BlSafetyTest test);
gboolean bl_safety_test_parse (const char *name, BlSafetyTest *test);

/* What the limits depend on, of the equipment tested. */
typedef struct
{
  BlSafetyClass safety_class;
  double cord_m;   /* length of the cord, m; 0: not said, or none */
  double heater_w; /* power of heating elements in it, W; 0: none */
} BlSafetyUnit;

/* SI base units. Every figure is the shop's own to change: see bl_safety_limits_usual (). */
typedef struct
{
  double conductor_ohm;                          /* up to a cord of conductor_to_m */
  double conductor_to_m;
  double more_ohm, more_m;                       /* so much more for each further so many metres ... */
  double conductor_most_ohm;                     /* ... and never more than this */
  double insulation_ohm[BL_N_SAFETY_CLASSES];    /* at least */
  double insulation_heater_ohm;                  /* class I with heating elements */
  double conductor_a;                            /* current in the protective conductor */
  double heater_from_w, heater_a_per_w, heater_most_a; /* heating elements above heater_from_w */
  double contact_a;
} BlSafetyLimits;

/* VDE 0701-0702:2008-06 as a tester's manual prints them (quoted second-hand). That document was split in 2021 into
 * EN 50678 (after repair) and EN 50699 (recurrent test): the limits must be checked against what holds now, and where
 * the shop is, before they are used. */
void bl_safety_limits_usual (BlSafetyLimits *limits);
#define BL_SAFETY_LIMITS_SOURCE "VDE 0701-0702:2008"

/* The limit of a test, NAN where it is not done on that class. Of the cord only whole further lengths count: between
 * two readings of "per further 7.5 m" that is the stricter one. */
double bl_safety_limit (const BlSafetyLimits *limits, const BlSafetyUnit *unit, BlSafetyTest test);
/* What is measured: ohm, insulation, A AC. */
BlMeasures bl_safety_measures (BlSafetyTest test);
/* The band with that limit, for bl_judge (); source is written into it. NULL where the test is not done on that
 * class. (transfer full) */
BlBand *bl_safety_band (const BlSafetyLimits *limits, const BlSafetyUnit *unit, BlSafetyTest test,
                        const char *source);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-quantity.h"

G_BEGIN_DECLS

/* The board document in memory: what a documented edition says about itself. Plain data, filled by
 * bl-document.c or by the editor. Convention for what the document left out: NULL for text and for
 * arrays, NAN for numbers, -1 for int and tri-state fields; so that what is written is what was read.
 * Every array is a GPtrArray of the named struct with the struct's free function set.
 * Readers never test arrays for NULL: bl_len () and bl_at () take NULL as empty. */

/* Number of elements of array, 0 for NULL. */
static inline guint
bl_len (const GPtrArray *array)
{
  return array != NULL ? array->len : 0;
}
#define bl_at(array, index) (g_ptr_array_index ((array), (index)))

typedef struct
{
  double faults, elsewhere, other, setup, misreport;
} BlOdds;

typedef struct
{
  char *id, *title;
  int live;         /* -1 left out (not known: taken as live), 0, 1 */
  double volts;     /* highest voltage present, V */
  double enter_s;   /* effort to bring the board into this state, s (default 60) */
  double lasts_s;   /* how long the state lasts by itself, s */
  char *how;        /* how to enter it */
  char **dead_proof; /* ids of the measurements that prove the board dead; NULL-terminated or NULL */
  char *capacitor;  /* component that still holds a charge after power went off; NULL: not said */
  char *bleeder;    /* component that takes it away; NULL: none */
  char *notes;
} BlState;

typedef struct
{
  char *id;
  double x, y; /* photo pixels */
  char *notes;
} BlLandmark;

typedef struct
{
  char *id, *title, *side, *file; /* side "front" or "back"; file: path inside the bundle */
  double mm_per_px;
  GPtrArray *landmarks; /* BlLandmark */
  char *notes;
} BlPhoto;

typedef struct
{
  char *photo;
  GArray *points; /* double pairs x, y in photo pixels */
  char *notes;
} BlOutline;

typedef struct
{
  char *id, *kind, *title;
  GPtrArray *outlines; /* BlOutline */
  char *notes;
} BlSection;

typedef struct
{
  char *id, *title, *notes;
} BlPort;

/* Deviations of a stage, in order of precedence; the bit of deviation d is 1 << d. */
typedef enum
{
  BL_ABSENT,
  BL_UNSTEADY,
  BL_LOW,
  BL_HIGH,
  BL_IN_BAND, /* only as the target of a pass: no deviation */
  BL_N_DEVIATIONS = 4
} BlDeviation;

/* What each deviation of a feed becomes at the fed stage; BL_PASSES_UNCHANGED where left out. */
#define BL_PASSES_UNCHANGED (-1)
typedef struct
{
  int to[BL_N_DEVIATIONS]; /* BlDeviation or BL_PASSES_UNCHANGED */
  gboolean set;            /* FALSE: the document has no "passes" here */
  char *notes;
} BlPasses;

typedef struct
{
  char *from;      /* stage id, or "port:ID" */
  BlPasses passes; /* of this feed */
  gboolean object; /* written as {"stage": ...} */
  char *notes;
} BlFeed;

#define BL_NEED_LEFT_OUT 0
#define BL_NEED_ALL (-1)
#define BL_NEED_ANY (-2)
typedef struct
{
  char *id, *section, *title;
  int need;           /* BL_NEED_LEFT_OUT (all), BL_NEED_ALL, BL_NEED_ANY or k >= 1 */
  gboolean has_feeds; /* the document has a "feeds" object */
  GPtrArray *feeds;   /* BlFeed, in document order */
  char *feeds_notes;
  BlPasses passes;     /* "passes" of the stage, for all its feeds */
  BlPasses feeds_passes; /* the same written inside "feeds" */
  GPtrArray *outlines; /* BlOutline */
  char *notes;
} BlStage;

typedef struct
{
  char *on;      /* stage or measurement id; NULL: the component's own stage */
  char **is;     /* class names, NULL-terminated, at least one */
  gboolean is_list; /* written as a list */
  char **in;     /* states it is limited to; NULL: all */
  char *notes;
} BlEffect;

typedef struct
{
  char *component, *mode;
  double chance; /* 0 to 1; NAN: left out (1) */
  char *notes;
} BlProvokes;

typedef struct
{
  char *condition; /* "" when no other is listed */
  double chance;
} BlShows;

typedef struct
{
  char *mode;
  double weight;       /* failures per 10^6 h, or a share when the component has a weight */
  GArray *shows;       /* BlShows, filled by bl_mode_set_shows (); NULL: always active */
  char *shows_notes;
  GPtrArray *effects;  /* BlEffect */
  GPtrArray *provokes; /* BlProvokes */
  char *notes;
} BlMode;

typedef struct
{
  char *id, *kind, *value, *title, *stage, *photo;
  double x, y, weight;
  double test_s;    /* effort to test it by itself without power, s */
  double replace_s; /* effort to replace it, s */
  double factor;    /* the technician's own: it fails so many times as often as its weights say */
  char *factor_reason; /* "hot spot", "known weak part" ... */
  GPtrArray *modes; /* BlMode */
  char *notes;
} BlComponent;

typedef struct
{
  char *id, *title, *photo, *ground; /* ground: hot, isolated, mains, earth or NULL */
  double x, y;
  BlQuantity source_ohm;
  char *notes;
} BlTestPoint;

typedef enum
{
  BL_MEASURES_V_DC,
  BL_MEASURES_V_AC,
  BL_MEASURES_V_PP,
  BL_MEASURES_A_DC,
  BL_MEASURES_A_AC,
  BL_MEASURES_HZ,
  BL_MEASURES_DEGC,
  BL_MEASURES_F,
  BL_MEASURES_S,
  BL_MEASURES_OHM,
  BL_MEASURES_ESR,
  BL_MEASURES_DIODE,
  BL_MEASURES_CONTINUITY,
  BL_MEASURES_INSULATION,
  BL_MEASURES_SWING,
  BL_MEASURES_CHECK,
  BL_N_MEASURES
} BlMeasures;

typedef struct
{
  char *id;
  BlQuantity low, high;
  char *notes;
} BlMark;

typedef struct
{
  char *measurement;
  GArray *points;    /* double pairs x, y, SI base units, x rising */
  double tolerance;  /* share of the value; NAN: left out (0) */
  BlQuantity within; /* as much again on both sides, unit of the measurement; left out: 0 */
  char *notes;
} BlFollows;

typedef struct
{
  BlQuantity nominal, low, high, absent_below, shorted_below, open_above, span_below;
  char *tolerance;          /* "4 %" or "+5 %/-10 %" or NULL */
  BlQuantity min[2], max[2]; /* swing */
  gboolean has_min, has_max;
  int answer;               /* check: -1 left out (true), 0, 1 */
  char *source;
  GPtrArray *marks; /* BlMark */
  BlFollows *follows;
  char *notes;
} BlExpected;

typedef struct
{
  char *id, *title, *at, *black, *state, *reads;
  BlMeasures measures; /* BL_N_MEASURES: left out */
  double effort_s; /* default 20 */
  double misread;  /* default 0.02 */
  int series;      /* -1 left out, 0, 1: read through a series part */
  char *waveform;  /* name of a BlWave (bl-waveform.h); NULL: a sine, or not said */
  double duty;     /* of a pulse: share of the period, above 0 and below 1 */
  gboolean has_expected;
  BlExpected expected;
  char *notes;
} BlMeasurement;

typedef struct
{
  char *on;    /* stage, or measurement */
  char **is;   /* deviations, or classes of the measurement; at least one */
  gboolean is_list;
  char *state; /* only the effects that hold in this state; NULL: every effect */
  char *notes;
} BlWhen;

typedef struct
{
  char *id, *title;
  GPtrArray *when; /* BlWhen */
  char *notes;
} BlSymptom;

typedef struct
{
  char *lamp;
  double blinks, rate_hz;
  int steady; /* -1 left out, 0 off, 1 on */
  char *notes;
} BlLampPattern;

typedef struct
{
  char *symptom, *edition;
  GPtrArray *pattern; /* BlLampPattern */
  char *notes;
} BlIndication;

typedef struct BlBoard
{
  char *uid, *maker, *model, *board_number, *edition, *notes;
  double mains_voltage, mains_frequency;
  gboolean has_mains, has_odds;
  char *mains_notes, *odds_notes;
  BlOdds odds; /* NAN where left out; see bl_board_odds () */
  GPtrArray *states;       /* BlState */
  GPtrArray *photos;       /* BlPhoto */
  GPtrArray *sections;     /* BlSection */
  GPtrArray *ports;        /* BlPort */
  GPtrArray *stages;       /* BlStage */
  GPtrArray *components;   /* BlComponent */
  GPtrArray *test_points;  /* BlTestPoint */
  GPtrArray *measurements; /* BlMeasurement */
  GPtrArray *symptoms;     /* BlSymptom */
  GPtrArray *indications;  /* BlIndication */
} BlBoard;

BlBoard *bl_board_new (void);
void bl_board_free (BlBoard *board);
/* A deep copy. Returns: (transfer full). */
BlBoard *bl_board_copy (const BlBoard *board);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlBoard, bl_board_free)

/* New empty elements with every field left out, and their free functions (also the arrays' own). */
#define BL_BOARD_ELEMENT(Type, name)                                                               \
  Type *bl_##name##_new (void);                                                                    \
  void bl_##name##_free (Type *self);                                                              \
  Type *bl_##name##_copy (const Type *self);                                                       \
  G_DEFINE_AUTOPTR_CLEANUP_FUNC (Type, bl_##name##_free)
BL_BOARD_ELEMENT (BlState, state)
BL_BOARD_ELEMENT (BlPhoto, photo)
BL_BOARD_ELEMENT (BlLandmark, landmark)
BL_BOARD_ELEMENT (BlOutline, outline)
BL_BOARD_ELEMENT (BlSection, section)
BL_BOARD_ELEMENT (BlPort, port)
BL_BOARD_ELEMENT (BlFeed, feed)
BL_BOARD_ELEMENT (BlStage, stage)
BL_BOARD_ELEMENT (BlEffect, effect)
BL_BOARD_ELEMENT (BlProvokes, provokes)
BL_BOARD_ELEMENT (BlMode, mode)
BL_BOARD_ELEMENT (BlComponent, component)
BL_BOARD_ELEMENT (BlTestPoint, test_point)
BL_BOARD_ELEMENT (BlMark, mark)
BL_BOARD_ELEMENT (BlFollows, follows)
BL_BOARD_ELEMENT (BlMeasurement, measurement)
BL_BOARD_ELEMENT (BlWhen, when)
BL_BOARD_ELEMENT (BlSymptom, symptom)
BL_BOARD_ELEMENT (BlLampPattern, lamp_pattern)
BL_BOARD_ELEMENT (BlIndication, indication)
#undef BL_BOARD_ELEMENT

/* Appends element (transfer full) to *array, making the array with free_func when it is NULL. */
void bl_append (GPtrArray **array, gpointer element, GDestroyNotify free_func);

/* Sets the chance that mode is active in a round of this condition ("": every other). */
void bl_mode_set_shows (BlMode *mode, const char *condition, double chance);
/* That chance: of the condition, else of "", else 1. */
double bl_mode_shows (const BlMode *mode, const char *condition);

/* Look-ups by id; NULL when there is none. Returns: (transfer none). */
BlState *bl_board_state (const BlBoard *board, const char *id);
BlPhoto *bl_board_photo (const BlBoard *board, const char *id);
BlSection *bl_board_section (const BlBoard *board, const char *id);
BlPort *bl_board_port (const BlBoard *board, const char *id);
BlStage *bl_board_stage (const BlBoard *board, const char *id);
BlComponent *bl_board_component (const BlBoard *board, const char *id);
BlMode *bl_component_mode (const BlComponent *component, const char *mode);
/* Whether a mode of it has an effect on this measurement itself, not through a stage. */
gboolean bl_component_acts_on (const BlComponent *component, const char *measurement);
BlTestPoint *bl_board_test_point (const BlBoard *board, const char *id);
BlMeasurement *bl_board_measurement (const BlBoard *board, const char *id);
BlSymptom *bl_board_symptom (const BlBoard *board, const char *id);

/* The odds with defaults filled in: faults 0.2, elsewhere 0.15, other 0.1, setup 0.01,
 * misreport 0.05. */
BlOdds bl_board_odds (const BlBoard *board);

/* Documented weight of a mode, failures per 10^6 h, defaults from the table of published priors
 * (bl-kinds.h), the component's own weight and its factor applied. */
double bl_board_mode_weight (const BlBoard *board, const BlComponent *component, const BlMode *mode);

/* Names used in documents ("V DC", "ohm", "check" ...; "absent", "in band" ...). The parse functions
 * return FALSE for a name that is none. */
const char *bl_measures_name (BlMeasures measures);
gboolean bl_measures_parse (const char *name, BlMeasures *measures);
/* Unit for bl_quantity_parse: "V", "A", "Hz", "degC", "F", "s", "ohm"; NULL for a check; "V" for
 * diode and swing. */
const char *bl_measures_unit (BlMeasures measures);
/* TRUE for the steady kinds of a level or value, which have absent, low, in band, high, unsteady. */
gboolean bl_measures_is_steady (BlMeasures measures);
/* TRUE for ohm, ESR, diode, continuity and insulation. */
gboolean bl_measures_is_resistive (BlMeasures measures);
/* The classes of a row, NULL-terminated, marks not among them; *good (may be NULL) is set to the
 * index of the one expected. (transfer none) */
const char *const *bl_measures_classes (BlMeasures measures, guint *good);
const char *bl_deviation_name (BlDeviation deviation);
gboolean bl_deviation_parse (const char *name, BlDeviation *deviation);

/* The name of the implied component of a stage, "ID/other". Returns: (transfer full). */
char *bl_stage_other_id (const char *stage_id);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Everything that can be edited in a board document, by name: a reference leads to an element, a slot
 * is one thing said about it. The editor shows slots as words of a sentence; what is typed goes back
 * as text. */

typedef enum
{
  BL_ELEMENT_BOARD,
  BL_ELEMENT_STATE,
  BL_ELEMENT_PHOTO,
  BL_ELEMENT_LANDMARK,    /* id: photo; index */
  BL_ELEMENT_SECTION,
  BL_ELEMENT_PORT,
  BL_ELEMENT_STAGE,
  BL_ELEMENT_FEED,        /* id: stage; index */
  BL_ELEMENT_COMPONENT,
  BL_ELEMENT_MODE,        /* id: component; mode */
  BL_ELEMENT_SHOW,        /* and index: of a condition with a name */
  BL_ELEMENT_EFFECT,      /* and index */
  BL_ELEMENT_PROVOKES,    /* and index */
  BL_ELEMENT_TEST_POINT,
  BL_ELEMENT_MEASUREMENT,
  BL_ELEMENT_MARK,        /* id: measurement; index */
  BL_ELEMENT_SYMPTOM,
  BL_ELEMENT_WHEN,        /* id: symptom; index */
  BL_ELEMENT_INDICATION,  /* index */
  BL_ELEMENT_LAMP,        /* index of the indication, sub */
  BL_N_ELEMENTS
} BlElement;

/* Plain value; id and mode are interned, so a reference outlives what it refers to. */
typedef struct
{
  BlElement element;
  const char *id, *mode; /* NULL where the element has none */
  guint index, sub;
} BlRef;

BlRef bl_ref (BlElement element, const char *id);
BlRef bl_ref_at (BlElement element, const char *id, guint index);
BlRef bl_ref_mode (BlElement element, const char *component, const char *mode, guint index);
BlRef bl_ref_lamp (guint indication, guint lamp);
gboolean bl_ref_equal (const BlRef *a, const BlRef *b);
/* A text that is different for different references. (transfer full) */
char *bl_ref_key (const BlRef *ref);
/* The element in the board, NULL when there is none. (transfer none) */
gpointer bl_ref_find (const BlBoard *board, const BlRef *ref);
/* What a person calls it: "measurement M5", "K1 open", "state “Powered”". (transfer full) */
char *bl_ref_words (const BlBoard *board, const BlRef *ref);
/* The element a path of the document ("$.stages[2].section") leads to: the nearest that the editor
 * shows. Elements of no other kind: the board itself. */
BlRef bl_ref_from_path (const BlBoard *board, const char *path);

typedef enum
{
  BL_SLOT_ID,
  BL_SLOT_TITLE,
  BL_SLOT_NOTES,
  BL_SLOT_MAKER,
  BL_SLOT_MODEL,
  BL_SLOT_NUMBER,
  BL_SLOT_EDITION,
  BL_SLOT_SIDE,        /* of a photo */
  BL_SLOT_MM_PER_PX,
  BL_SLOT_MAINS_V,
  BL_SLOT_MAINS_HZ,
  BL_SLOT_ODDS_FAULTS,
  BL_SLOT_ODDS_ELSEWHERE,
  BL_SLOT_ODDS_OTHER,
  BL_SLOT_ODDS_SETUP,
  BL_SLOT_ODDS_MISREPORT,
  BL_SLOT_LIVE,
  BL_SLOT_VOLTS,
  BL_SLOT_ENTER_S,
  BL_SLOT_LASTS_S,
  BL_SLOT_HOW,
  BL_SLOT_DEAD_PROOF,
  BL_SLOT_CAPACITOR,   /* what holds a charge after power went off ... */
  BL_SLOT_BLEEDER,     /* ... and what takes it away */
  BL_SLOT_KIND,
  BL_SLOT_SECTION,
  BL_SLOT_NEED,
  BL_SLOT_FROM,
  BL_SLOT_PASS_ABSENT, /* the four in the order of BlDeviation */
  BL_SLOT_PASS_UNSTEADY,
  BL_SLOT_PASS_LOW,
  BL_SLOT_PASS_HIGH,
  BL_SLOT_VALUE,
  BL_SLOT_STAGE,
  BL_SLOT_WEIGHT,
  BL_SLOT_FACTOR,
  BL_SLOT_FACTOR_REASON,
  BL_SLOT_MODE,
  BL_SLOT_SHOWS,       /* chance where no other condition is named */
  BL_SLOT_CONDITION,
  BL_SLOT_CHANCE,
  BL_SLOT_ON,
  BL_SLOT_IS,
  BL_SLOT_IN,
  BL_SLOT_TARGET,      /* "COMPONENT:MODE" of what is provoked */
  BL_SLOT_GROUND,
  BL_SLOT_SOURCE_OHM,
  BL_SLOT_AT,
  BL_SLOT_BLACK,
  BL_SLOT_MEASURES,
  BL_SLOT_STATE,
  BL_SLOT_READS,
  BL_SLOT_EFFORT,
  BL_SLOT_MISREAD,
  BL_SLOT_SERIES,
  BL_SLOT_WAVEFORM,
  BL_SLOT_DUTY,        /* of a pulse: share of the period */
  BL_SLOT_EXPECTED,
  BL_SLOT_FOLLOWS,     /* the measurement whose reading the band follows */
  BL_SLOT_LINE,        /* "x:y, x:y ...": expected y where the other reads x */
  BL_SLOT_LINE_WIDTH,  /* share of the value on both sides */
  BL_SLOT_ABSENT_BELOW,
  BL_SLOT_SHORTED_BELOW,
  BL_SLOT_OPEN_ABOVE,
  BL_SLOT_SPAN_BELOW,
  BL_SLOT_SOURCE,
  BL_SLOT_LOW,
  BL_SLOT_HIGH,
  BL_SLOT_SYMPTOM,
  BL_SLOT_LAMP,
  BL_SLOT_BLINKS,
  BL_SLOT_RATE,
  BL_SLOT_STEADY,
  BL_N_SLOTS
} BlSlot;

/* How a slot is filled in. */
typedef enum
{
  BL_SLOT_FORM_TEXT,    /* typed */
  BL_SLOT_FORM_SUGGEST, /* typed; the choices are suggestions */
  BL_SLOT_FORM_CHOICE,  /* one of the choices */
  BL_SLOT_FORM_CHOICES  /* any of the choices, values joined by tabs */
} BlSlotForm;
BlSlotForm bl_slot_form (const BlRef *ref, BlSlot slot);
/* TRUE when elements of this kind have the slot. */
gboolean bl_slot_exists (BlElement element, BlSlot slot);
/* "absent below", "black lead": what the slot says, translated. (transfer none) */
const char *bl_slot_label (BlElement element, BlSlot slot);
/* What stands there when nothing is said: "60 s", "10 % of nominal"; NULL: nothing. (transfer none) */
const char *bl_slot_default (BlElement element, BlSlot slot);

typedef struct
{
  char *value; /* as bl_slot_get and bl_slot_set have it; "": left out */
  char *words; /* for the reader */
} BlChoice;
/* (transfer full) GPtrArray of BlChoice, in an order that makes sense. */
GPtrArray *bl_slot_choices (const BlBoard *board, const BlRef *ref, BlSlot slot);

/* The value as text to be edited, "" when it is left out. (transfer full) */
char *bl_slot_get (const BlBoard *board, const BlRef *ref, BlSlot slot);
/* Sets it from such text. FALSE with the reason when the text is no value of this slot; the rules of
 * the whole document are not checked here. A new id is given to every reference to it. */
gboolean bl_slot_set (BlBoard *board, const BlRef *ref, BlSlot slot, const char *text, GError **error);

G_END_DECLS

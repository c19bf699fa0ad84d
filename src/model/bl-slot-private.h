/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-slot.h"

G_BEGIN_DECLS

/* How a slot is kept in its struct. */
typedef enum
{
  BL_KEPT_TEXT,     /* char *, NULL when empty */
  BL_KEPT_NUMBER,   /* double, NAN when empty; unit */
  BL_KEPT_SHARE,    /* the same between 0 and 1, shown in per cent */
  BL_KEPT_QUANTITY, /* BlQuantity; unit, NULL: that of the measurement */
  BL_KEPT_YES_NO,   /* int, -1 when empty */
  BL_KEPT_LIST,     /* char **, NULL when empty */
  BL_KEPT_SPECIAL   /* by its own code */
} BlKept;

typedef struct
{
  BlElement element;
  BlSlot slot;
  BlSlotForm form;
  BlKept kept;
  gsize offset;
  const char *unit;
  const char *label;    /* untranslated, N_() */
  const char *left_out; /* the same, or NULL */
} BlSlotInfo;

/* NULL when elements of this kind have no such slot. */
const BlSlotInfo *bl_slot_info (BlElement element, BlSlot slot);
/* Unit of a quantity of a measurement or its mark. */
const char *bl_slot_unit (const BlBoard *board, const BlRef *ref, const BlSlotInfo *info);

/* The slots FOLLOWS, LINE and LINE_WIDTH; bl-slot-follows.c. */
/* Adds to the source of a band that what it follows was changed by hand since: what a formula said no longer holds. */
void bl_follows_by_hand (BlExpected *expected);
char *bl_follows_text (const BlMeasurement *measurement, BlSlot slot);
gboolean bl_follows_set (const BlBoard *board, BlMeasurement *measurement, BlSlot slot, const char *text,
                         GError **error);

G_END_DECLS

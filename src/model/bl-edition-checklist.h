/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-coverage.h"
#include "bl-edition.h"
#include "bl-slot.h"

G_BEGIN_DECLS

/* What an edition still lacks before readings on it lead to a component: one thing after the other, ordered by what
 * gains most for the diagnosis. */

typedef enum
{
  BL_THING_PHOTO,
  BL_THING_LIVE_STATE,
  BL_THING_STAGES,
  BL_THING_MEASUREMENTS,
  BL_THING_COMPONENTS,
  BL_THING_PROOF, /* the last that must be there: up to here usable for diagnosis */
  BL_THING_DEAD_STATE,
  BL_THING_STAGE_UNMEASURED,
  BL_THING_EXPECTED,
  BL_THING_LIMITS,
  BL_THING_READS_NOTHING, /* a measurement that no stage and no effect, here or across an equipment, belongs to */
  BL_THING_BLACK,
  BL_THING_PLACE, /* a test point that waits for its place */
  BL_THING_POINT_UNUSED,
  BL_THING_MODES,
  BL_THING_EFFECT,
  BL_THING_INVISIBLE,
  BL_THING_GROUP,
  BL_THING_WEIGHTS,
  BL_THING_SECTION_EMPTY,
  BL_THING_SYMPTOMS,
  BL_THING_INDICATIONS,
  BL_THING_SOURCE,
  BL_THING_STAGE_OUTLINE,
  BL_THING_SCALE,
  BL_THING_NAME,
  BL_N_THINGS
} BlThingKind;

typedef struct
{
  BlThingKind kind;
  char *key;      /* "limits\tM5": the same as long as the thing is */
  char *words;    /* "M5, 5 V rail: no limits", translated */
  const char *why; /* why that matters: one short sentence */
  BlRef ref;      /* where it is put right */
  double share;   /* of the faults, by weight, that it is about; what the order follows */
} BlThing;

typedef struct
{
  GPtrArray *open;  /* BlThing, the one that gains most first */
  GPtrArray *aside; /* those said not to apply */
  guint n_checks, n_done; /* kinds that concern this board, and those of which nothing is open */
  gboolean usable;  /* readings can lead to a component from here on */
} BlChecklist;

/* What is known of an edition beside its document. */
typedef struct
{
  GHashTable *aside;   /* keys of things that do not apply; NULL: none */
  GHashTable *outside; /* measurements that faults outside the board act on, in an equipment; NULL: none */
} BlChecklistBeside;
/* Reads it, or what of it changes while an edition is open: whole documents of equipments are looked through once only. */
void bl_checklist_beside_read (BlChecklistBeside *self, BlLibrary *library, gint64 board);
void bl_checklist_beside_clear (BlChecklistBeside *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (BlChecklistBeside, bl_checklist_beside_clear)

/* Whether checks of this board wait for its coverage. */
gboolean bl_checklist_needs_coverage (const BlBoard *board);
/* coverage: what measurements tell; NULL while it is not known: checks that wait for it count as not done. beside: may be
 * NULL. (transfer full) */
BlChecklist *bl_checklist_new (const BlBoard *board, const BlCoverage *coverage, const BlChecklistBeside *beside);
void bl_checklist_free (BlChecklist *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlChecklist, bl_checklist_free)

/* The open thing after the one of this key, which may be done by now: then the best one. After the last comes the
 * first; NULL: nothing is open. (transfer none) */
const BlThing *bl_checklist_next (const BlChecklist *self, const char *key);
const BlThing *bl_checklist_find (const BlChecklist *self, const char *key);
/* "14 of 19 · usable for diagnosis". (transfer full) */
char *bl_checklist_progress (const BlChecklist *self);
/* The same and how many things are missing: "14 of 19 · usable for diagnosis · 6 things missing". (transfer full) */
char *bl_checklist_summary (const BlChecklist *self);

/* Says that a thing does not apply to this board, or that it does: kept in the library and not in the document, as a
 * step of undo. */
gboolean bl_edition_set_aside (BlEdition *edition, const BlThing *thing, gboolean aside, GError **error);

G_END_DECLS

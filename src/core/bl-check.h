/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-problem.h"

G_BEGIN_DECLS

/* Private to core: the rules a board must keep, list by list, so that an equipment's own lists are
 * held to the same. References are looked up in the whole board: that of the document, or the one
 * joined from the boards of an equipment. */

typedef struct
{
  const BlBoard *board;
  BlReport *report;
  /* Id to element; the first where an id is there twice. Ids and elements are the board's. */
  GHashTable *states, *photos, *sections, *ports, *stages, *components, *test_points, *measurements,
      *symptoms;
} BlCheck;

void bl_check_init (BlCheck *check, const BlBoard *board, BlReport *report);
void bl_check_clear (BlCheck *check);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (BlCheck, bl_check_clear)

/* All rules of a board document, warnings too. alone: FALSE for a board of an equipment, whose
 * other boards may see the stages that it does not see itself. */
void bl_check_board (const BlBoard *board, gboolean alone, BlReport *report, const BlPath *root);

/* The lists an equipment has too; path is that of the list. */
void bl_check_states (BlCheck *check, const GPtrArray *states, const BlPath *path);
void bl_check_photos (BlCheck *check, const GPtrArray *photos, const BlPath *path);
void bl_check_test_points (BlCheck *check, const GPtrArray *test_points, const BlPath *path);
void bl_check_measurements (BlCheck *check, const GPtrArray *measurements, const BlPath *path);
void bl_check_symptoms (BlCheck *check, const GPtrArray *symptoms, const BlPath *path);
void bl_check_indications (BlCheck *check, const GPtrArray *indications, const BlPath *path);
void bl_check_odds (BlCheck *check, const BlOdds *odds, const BlPath *path);

/* The modes of a component of the board; path is the component's. */
void bl_check_modes (BlCheck *check, const BlComponent *component, const BlPath *path);
/* stage: that of the component, where an effect without "on" is. */
void
bl_check_effect (BlCheck *check, const BlEffect *effect, const char *stage, const BlPath *path);

/* Loops of feeds, named; each is reported at the stage it was entered by, or at elsewhere if that
 * is not NULL. */
void bl_check_feed_loops (BlCheck *check, const BlPath *stages, const BlPath *elsewhere);

/* The elements' ids, which are their first field ("id", "role", "mode"): given, well formed, unique
 * in the list. */
void bl_check_ids (BlCheck *check, const GPtrArray *list, const char *key, const BlPath *path);
/* A reference: path.key must be in table. NULL: left out, which is an error if required. */
void bl_check_reference (BlCheck *check,
                         GHashTable *table,
                         const char *id,
                         gboolean required,
                         const char *what,
                         const BlPath *path,
                         const char *key);
/* from <= value <= to, finite; above: from itself is not allowed. NAN: left out. */
void bl_check_range (BlCheck *check,
                     double value,
                     double from,
                     double to,
                     gboolean above,
                     const BlPath *path,
                     const char *key);
/* TRUE for a relative path with forward slashes that does not leave its folder. */
gboolean bl_check_is_inside (const char *file);
/* Index by id of a list's elements. */
GHashTable *bl_check_index (const GPtrArray *list);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* What every measurement shows when exactly these modes are active: the model evaluated directly,
 * without probabilities. For drawing readings, for signatures and for trying out explanations.
 *
 * Flat numbers of modes: those of the documented components in document order, then for each stage
 * in document order the implied component "STAGE/other" with absent, low, unsteady, high. */
typedef struct BlResponse BlResponse;

/* A mode that, when present, makes another one present with this chance. */
typedef struct
{
  guint from, to; /* flat numbers of modes */
  double chance;
} BlResponseLink;

/* Prepares board, which must not change under it. BL_CORE_ERROR_INVALID for a loop of feeds (it
 * names the stages), BL_CORE_ERROR_UNKNOWN for a name that the board does not have. (transfer full) */
BlResponse *bl_response_new (const BlBoard *board, GError **error);
void bl_response_free (BlResponse *response);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlResponse, bl_response_free)

guint bl_response_n_modes (const BlResponse *response);
/* Flat number of a mode; -1: there is none. */
int bl_response_find (const BlResponse *response, const char *component, const char *mode);
/* Names of a mode by its flat number. (transfer none) */
const char *bl_response_component (const BlResponse *response, guint mode);
const char *bl_response_mode (const BlResponse *response, guint mode);
/* Number of the component of a mode, the implied ones after the documented ones; components ==
 * documented + stages. */
guint bl_response_component_index (const BlResponse *response, guint mode);
/* The document's mode; NULL for one of an implied component. (transfer none) */
const BlMode *bl_response_document_mode (const BlResponse *response, guint mode);
/* Chance that a present mode is active in a round of this condition ("": none), 0 to 1. */
double bl_response_chance (const BlResponse *response, guint mode, const char *condition);

/* The links, GArray of BlResponseLink in document order. (transfer none) */
const GArray *bl_response_links (const BlResponse *response);
/* Sets present (one flag a mode) to what own events and fired links (one flag a link) make present:
 * the least fixed point. own and present may be the same array. */
void bl_response_spread (const BlResponse *response, const guint8 *own, const guint8 *fired, guint8 *present);

/* The deviations true at every stage, bits 1 << BlDeviation, given active (one flag a mode), with
 * the effects that hold in state (index into board->states; -1: every effect whatever its states).
 * masks: one a stage. */
void bl_response_stages (const BlResponse *response, const guint8 *active, int state, guint8 *masks);

/* The same without what the feeds hand on: only what active modes do to each stage themselves. */
void bl_response_direct (const BlResponse *response, const guint8 *active, int state, guint8 *masks);

/* The class every measurement shows, in its own state: classes is one index a measurement into its
 * band's classes (bl_response_class_name () gives the name). */
void bl_response_evaluate (const BlResponse *response, const guint8 *active, guint8 *classes);
const char *bl_response_class_name (const BlResponse *response, guint measurement, guint class_index);
/* A measurement's classes; its limits too, except for one that follows another: those are at the
 * first point of its line. (transfer none) */
const BlBand *bl_response_band (const BlResponse *response, guint measurement);
/* Index of the measurement's state in board->states. */
guint bl_response_state (const BlResponse *response, guint measurement);

G_END_DECLS

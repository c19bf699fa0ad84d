/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-eliminate.h"

G_BEGIN_DECLS

/* What the readings still to come can leave of a row at most; see bl-outlook.c. */
typedef struct BlOutlook BlOutlook;
/* Both must outlive it; evidence with lanes. lazy: of each node, a root that factors keep as a value. */
BlOutlook *bl_outlook_new (const BlNetwork *network, const BlEvidenceNodes *evidence, const gboolean *lazy);
void bl_outlook_free (BlOutlook *self); /* NULL is nothing */

/* Length in words of a set of readings, and the place of a node's reading in it; -1: it was not read. */
guint bl_outlook_words (const BlOutlook *self);
int bl_outlook_place (const BlOutlook *self, guint node);

/* The outlook of all factors with these fields (as in bl-foretold.h). gone: nodes eliminated; seen: the set of
 * readings that are part of the factor's weights. */
typedef struct BlOutlookView BlOutlookView;
BlOutlookView *bl_outlook_view (const BlOutlook *self, const gboolean *gone, const guint *fields, guint n,
                                const guint64 *seen);
void bl_outlook_view_free (BlOutlookView *view); /* NULL is nothing */

/* Whether a row may still add evidence->least to the root in some lane. mass: of each lane, or one for all;
 * chance: how likely at most it is that the row comes true, beside its mass. */
gboolean bl_outlook_matters (BlOutlookView *view, const guint64 *key, const double *mass, guint width,
                             double chance);

G_END_DECLS

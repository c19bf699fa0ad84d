/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree-compile.h"
#include "bl-tree.h"

G_BEGIN_DECLS

/* Minimal cut sets of a tree whose only graph root is the top: the sets of events that make it true
 * when no other event happens, and of which none can be left out together with any number of the
 * others (of a tree with negations: its minimal p-cuts). Their exact number into
 * result->cut_set_count, those up to order (0: none asked) into result->cut_sets, by order, then by
 * the members' place in the tree. known: by tree node, -1 or the value of a known event; a known
 * true event is no member of any set, a known false one ends the sets it is in.
 * Beyond limit (bytes) the count stays NULL; FALSE with BL_CORE_ERROR_TOO_HARD only when sets were
 * asked for. */
gboolean bl_cut_sets_find (const BlCompiled *compiled, const gint8 *known, guint order, gsize limit,
                           BlTreeResult *result, GError **error);

G_END_DECLS

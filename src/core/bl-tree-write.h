/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree.h"

G_BEGIN_DECLS

/* Names for the nodes of a tree where a form allows fewer characters than an id has: letters, digits
 * and single dashes or underscores of ASCII, a letter or underscore first (strict), or anything but
 * blanks and '#'. Unlike nodes get unlike names; a name that is allowed stays as it is. Returns:
 * (transfer full): char * by node. */
GPtrArray *bl_tree_names (const BlTree *tree, gboolean strict);

/* Appends value so that reading it gives the same value again, with the point in every locale. */
void bl_tree_append_number (GString *out, double value);

G_END_DECLS

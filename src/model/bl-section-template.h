/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition.h"

G_BEGIN_DECLS

/* A section as boards of this trade usually have it: stages, components with failure modes and effects, test
 * points without a place, measurements with bands and their sources. What feeds it is left open: its ports. */
typedef struct
{
  char *id;       /* "relay-output" */
  BlBoard *board; /* the section as a document; its notes say what it is for */
} BlSectionTemplate;

/* The templates that come with the program, along the way from the mains to the lamps. (transfer none) */
GPtrArray *bl_section_templates (void);
/* NULL: there is none of this name. (transfer none) */
const BlSectionTemplate *bl_section_template_find (const char *id);
/* The title of its section. (transfer none) */
const char *bl_section_template_title (const BlSectionTemplate *self);

/* What of the board's stages most likely feeds each port, by the words both are called with ("12 V",
 * "controller"): port -> stage, only those with a word in common. (transfer full) */
GHashTable *bl_section_template_guess (const BlSectionTemplate *self, const BlBoard *board);

/* Puts a template into a board. feeds: id of a template's port -> id of the board's stage that feeds there; a
 * port that is not in it stays open: nothing feeds there. Sections and board states of the same id become one,
 * "off" and "run" whatever the board calls its unpowered and its first live state. Names that are taken are
 * counted on: R12 becomes R13, "rail5" "rail5-2"; a test point of the same name, title and ground ("TP0", "0 V") is
 * one of both. added (may be NULL): ids of the stages, in order, as they are
 * named now. */
void bl_section_template_insert (const BlSectionTemplate *self, GHashTable *feeds, BlBoard *board, GPtrArray *added);

/* The same as one step of an open edition. */
gboolean bl_edition_insert_template (BlEdition *edition, const BlSectionTemplate *self, GHashTable *feeds,
                                     GPtrArray *added, GError **error);

G_END_DECLS

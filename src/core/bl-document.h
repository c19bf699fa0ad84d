/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* One thing wrong, or worth a warning, in a document. */
typedef struct
{
  gboolean warning;
  char *path;    /* JSON path, "$.stages[2].section" */
  char *message; /* what is wrong and what was expected */
} BlProblem;
void bl_problem_free (BlProblem *problem);

/* Reads a board document (JSON, UTF-8; length -1: NUL-terminated). All problems are collected into
 * problems (created by the caller with bl_problem_free; may be NULL), warnings included.
 * Returns the board when there is no error among them, otherwise NULL with an error that carries
 * the first problem's path and message and how many more there are. (transfer full) */
BlBoard *bl_document_parse (const char *text, gssize length, GPtrArray *problems, GError **error);

/* Validates a board that was edited in memory; appends to problems. TRUE when there is no error.
 * Not for a board joined from an equipment, whose ids have a role: it was validated on joining. */
gboolean bl_board_validate (const BlBoard *board, GPtrArray *problems);

/* Ids of the stages that no measurement sees: neither their output nor a stage it feeds is read, and
 * no mode of a component of theirs has an effect on what is. Returns: (transfer container) pointers
 * into board. */
GPtrArray *bl_board_unseen_stages (const BlBoard *board);

/* Writes the document, keys in the order of the format, UTF-8, indented by two. What was left out
 * stays left out, quantities keep their text. Returns: (transfer full). */
char *bl_document_write (const BlBoard *board);

/* Gives the text of the board document that path names, relative to the equipment document.
 * Paths that are absolute or leave the folder are refused before it is called. */
typedef char *(*BlDocumentLoad) (const char *path, gsize *length, gpointer data, GError **error);

/* Reads an equipment document and joins its boards into one flat board: ids become "role/id",
 * conductors stages and components of no section, cables components, weights scaled to the shares.
 * Problems of a member board carry its path before the JSON path. (transfer full) */
BlBoard *bl_equipment_parse (const char *text, gssize length, BlDocumentLoad load, gpointer data,
                             GPtrArray *problems, GError **error);

/* TRUE when text looks like an equipment document rather than a board document. */
gboolean bl_document_is_equipment (const char *text, gssize length);

G_END_DECLS

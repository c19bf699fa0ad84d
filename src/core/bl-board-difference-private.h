/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board-difference.h"
#include "bl-schema.h"

#include <jansson.h>

G_BEGIN_DECLS

/* Private to core: two documents as JSON, and the ids that one has for what the other calls otherwise. */

typedef struct
{
  const BlField *list;
  char *mine, *theirs; /* ids */
} BlRenaming;

/* The document as JSON, whole numbers as reals. Returns: (transfer full). */
json_t *bl_difference_load (const BlBoard *board);

/* Elements that have another id in theirs, with certainty, in an order in which they can be applied one after the
 * other. mine is changed: it has the ids of theirs afterwards. (transfer full), of BlRenaming */
GPtrArray *bl_difference_renamings (json_t *mine, json_t *theirs);

/* Gives an element of list another id; references follow. */
void bl_difference_rename (json_t *document, const BlField *list, const char *id, const char *new_id);

/* Called for every reference in an element: target is the list it points into, or "on" where that may be a stage or a
 * measurement. Returns the id that should stand there instead (transfer full), NULL to leave it. */
typedef char *(*BlDifferenceVisit) (const char *target, const char *id, gpointer data);
void bl_difference_visit (json_t *element, const char *list, BlDifferenceVisit visit, gpointer data);

/* What an element of this schema is called among others of its list, by its first field (of a link to
 * another part's mode also by the second). Returns: (transfer full), NULL when it has no name. */
char *bl_difference_name (const BlSchema *schema, const json_t *element);
/* Names of all elements, in order; the second of the same name is "NAME (2)". like (may be NULL): the same list of the
 * other document, after whose names equal elements are called. (transfer full), of char* */
GPtrArray *bl_difference_names (const BlSchema *schema, const json_t *list, const json_t *like);
int bl_difference_index (const GPtrArray *names, const char *name);

const BlField *bl_difference_field (const BlSchema *schema, const char *key);

/* How to come from an element to a value in it: a member, or an element of a list. */
typedef struct
{
  const BlField *field; /* of the member, or of the list */
  char *name;           /* of the element of the list; NULL: a member */
} BlDifferenceStep;

/* Fields in which two elements differ; one may be NULL. (transfer full), of BlDifferenceField */
GPtrArray *bl_difference_fields (const BlSchema *schema, json_t *mine, json_t *theirs);
/* Makes the field in mine what it is in theirs. */
void bl_difference_apply (const BlDifferenceField *field, json_t *mine, const json_t *theirs);

/* A value for a reader. unit: of the numbers of a measurement; NULL: none. Returns: (transfer full). */
char *bl_difference_text (const BlField *field, const json_t *value, const char *unit);
char *bl_difference_key_words (const char *key);

G_END_DECLS

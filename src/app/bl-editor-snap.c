/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What outlines drawn in the editor catch on: everything the document has on the photo shown, whether its
 * layer is on or not. */
#include "config.h"

#include "bl-editor-private.h"

typedef struct
{
  BlEditor *editor;
  BlSnapField *field;
  const char *except;
} Filling;

static void
add_outlines (Filling *filling, const GPtrArray *outlines, const char *id, const char *title)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (outlines); i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      if (g_strcmp0 (outline->photo, filling->editor->photo_id) != 0)
        continue;
      /* As bl_editor_photo_outlines () names them. */
      g_autofree char *key = g_strdup_printf ("%s\t%u", id, n++);
      if (outline->points != NULL && g_strcmp0 (key, filling->except) != 0)
        bl_snap_field_add_outline (filling->field, title != NULL && *title != '\0' ? title : id,
                                   (const double *) (gconstpointer) outline->points->data, outline->points->len / 2);
    }
}

static BlSnapField *
make_field (const char *except, gpointer data)
{
  BlEditor *self = data;
  Filling filling = { self, bl_snap_field_new (), except };

  if (self->edition == NULL || self->photo_id == NULL)
    return filling.field;
  const BlBoard *board = bl_edition_get_board (self->edition);
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      add_outlines (&filling, section->outlines, section->id, section->title);
    }
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      add_outlines (&filling, stage->outlines, stage->id, stage->title);
    }
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (g_strcmp0 (component->photo, self->photo_id) == 0)
        bl_snap_field_add_place (filling.field, component->id, component->x, component->y);
    }
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (g_strcmp0 (point->photo, self->photo_id) == 0)
        bl_snap_field_add_place (filling.field, point->id, point->x, point->y);
    }
  return filling.field;
}

void
bl_editor_snap_connect (BlEditor *self)
{
  bl_photo_view_set_snapping (BL_PHOTO_VIEW (self->photo), make_field, self);
}

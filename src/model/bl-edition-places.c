/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where things stand on the photos: points, components, outlines. Dragging saves every step, so the
 * merge key names what is dragged and bl_edition_settle () ends the drag.
 */
#include "config.h"

#include "bl-edition-parts.h"

#include <glib/gi18n-lib.h>

static gboolean
gone (BlEdition *self, GError **error)
{
  bl_edition_cancel (self);
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("It is not there any more"));
  return FALSE;
}

static void
put (char **on, double *at_x, double *at_y, const char *photo, double x, double y)
{
  if (g_strcmp0 (*on, photo) != 0)
    {
      g_free (*on);
      *on = g_strdup (photo);
    }
  *at_x = x;
  *at_y = y;
}

gboolean
bl_edition_place (BlEdition *self, const BlRef *ref, const char *photo, double x, double y, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && ref != NULL && photo != NULL, FALSE);
  g_return_val_if_fail (ref->element == BL_ELEMENT_TEST_POINT || ref->element == BL_ELEMENT_COMPONENT
                          || ref->element == BL_ELEMENT_LANDMARK,
                        FALSE);
  g_autofree char *key = bl_ref_key (ref);
  g_autofree char *words = bl_ref_words (bl_edition_get_board (self), ref);
  g_autofree char *label = g_strdup_printf (_ ("Move %s"), words);
  BlBoard *draft = bl_edition_begin (self, label, key);
  gpointer found = bl_ref_find (draft, ref);

  if (found == NULL)
    return gone (self, error);
  if (ref->element == BL_ELEMENT_TEST_POINT)
    put (&((BlTestPoint *) found)->photo, &((BlTestPoint *) found)->x, &((BlTestPoint *) found)->y, photo, x, y);
  else if (ref->element == BL_ELEMENT_LANDMARK)
    {
      ((BlLandmark *) found)->x = x;
      ((BlLandmark *) found)->y = y;
    }
  else
    put (&((BlComponent *) found)->photo, &((BlComponent *) found)->x, &((BlComponent *) found)->y, photo, x, y);
  return bl_edition_commit (self, error);
}

gboolean
bl_edition_set_scale (BlEdition *self, const char *photo, double x0, double y0, double x1, double y1,
                      const char *distance, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && photo != NULL && distance != NULL, FALSE);
  g_autofree char *number = g_strstrip (g_strdup (distance));
  double pixels = hypot (x1 - x0, y1 - y0), mm;
  char rounded[G_ASCII_DTOSTR_BUF_SIZE];

  if (g_str_has_suffix (number, "mm"))
    number[strlen (number) - 2] = '\0';
  if (!bl_quantity_parse (g_strstrip (number), "", &mm, error))
    return FALSE;
  if (mm <= 0 || pixels < 1)
    {
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                           _ ("a distance above 0 mm between two places is needed"));
      return FALSE;
    }
  BlPhoto *found = bl_board_photo (bl_edition_begin (self, _ ("Set scale"), NULL), photo);
  if (found == NULL)
    return gone (self, error);
  /* Five figures are more than a press on a photo can give. */
  g_ascii_formatd (rounded, sizeof rounded, "%.5g", mm / pixels);
  found->mm_per_px = g_ascii_strtod (rounded, NULL);
  return bl_edition_commit (self, error);
}

/* The list of outlines of a section or stage; NULL: it is gone. */
static GPtrArray **
outlines_of (BlBoard *board, const BlRef *ref)
{
  gpointer found = bl_ref_find (board, ref);

  if (found == NULL)
    return NULL;
  return ref->element == BL_ELEMENT_SECTION ? &((BlSection *) found)->outlines : &((BlStage *) found)->outlines;
}

gboolean
bl_edition_add_outline (BlEdition *self, const BlRef *ref, const char *photo, const GArray *points, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && ref != NULL && photo != NULL && points != NULL, FALSE);
  g_return_val_if_fail (ref->element == BL_ELEMENT_SECTION || ref->element == BL_ELEMENT_STAGE, FALSE);
  BlBoard *draft = bl_edition_begin (self, _ ("Draw outline"), NULL);
  GPtrArray **outlines = outlines_of (draft, ref);

  if (outlines == NULL)
    return gone (self, error);
  BlOutline *outline = bl_outline_new ();
  outline->photo = g_strdup (photo);
  g_clear_pointer (&outline->points, g_array_unref);
  outline->points = g_array_copy ((GArray *) points);
  bl_append (outlines, outline, (GDestroyNotify) bl_outline_free);
  return bl_edition_commit (self, error);
}

static const char *
change_label (BlOutlineChange change)
{
  switch (change)
    {
    case BL_OUTLINE_CORNER_ADDED:
      return _ ("Add corner to outline");
    case BL_OUTLINE_CORNER_REMOVED:
      return _ ("Remove corner of outline");
    case BL_OUTLINE_MOVED:
      return _ ("Move outline");
    case BL_OUTLINE_CORNER_MOVED:
    default:
      return _ ("Move corner of outline");
    }
}

gboolean
bl_edition_set_outline (BlEdition *self, const BlRef *ref, const char *photo, guint index, const GArray *points,
                        GError **error)
{
  return bl_edition_change_outline (self, ref, photo, index, points, BL_OUTLINE_CORNER_MOVED, error);
}

gboolean
bl_edition_change_outline (BlEdition *self, const BlRef *ref, const char *photo, guint index, const GArray *points,
                           BlOutlineChange change, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && ref != NULL && points != NULL, FALSE);
  g_autofree char *base = bl_ref_key (ref);
  g_autofree char *key = g_strdup_printf ("outline %d %s %s %u", change, base, photo, index);
  BlBoard *draft = bl_edition_begin (self, change_label (change), key);
  GPtrArray **outlines = outlines_of (draft, ref);

  for (guint i = 0; outlines != NULL && i < bl_len (*outlines); i++)
    {
      BlOutline *outline = bl_at (*outlines, i);
      if (g_strcmp0 (outline->photo, photo) != 0 || index-- > 0)
        continue;
      g_clear_pointer (&outline->points, g_array_unref);
      outline->points = g_array_copy ((GArray *) points);
      return bl_edition_commit (self, error);
    }
  return gone (self, error);
}

gboolean
bl_edition_remove_outlines (BlEdition *self, const BlRef *ref, const char *photo, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && ref != NULL, FALSE);
  BlBoard *draft = bl_edition_begin (self, _ ("Delete outline"), NULL);
  GPtrArray **outlines = outlines_of (draft, ref);

  if (outlines == NULL)
    return gone (self, error);
  for (guint i = bl_len (*outlines); i > 0; i--)
    if (g_strcmp0 (((BlOutline *) bl_at (*outlines, i - 1))->photo, photo) == 0)
      g_ptr_array_remove_index (*outlines, i - 1);
  return bl_edition_commit (self, error);
}

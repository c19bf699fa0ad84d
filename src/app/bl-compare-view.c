/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two editions beside each other: which they are, what is in hand, and when everything is read anew: in an idle after
 * each change, so that nobody's button vanishes under its own signal. What the parts show is written in the files
 * bl-compare-list.c, bl-compare-look.c and bl-compare-photo.c. */
#include "config.h"

#include "bl-compare-private.h"

#include <glib/gi18n-lib.h>

#include "bl-missing.h"
#include "bl-shell.h"
#include "bl-style.h"

enum
{
  CLOSED,
  EDIT,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlCompareView, bl_compare_view, GTK_TYPE_WIDGET)

/* --- What is what ----------------------------------------------------------------------------- */

char *
bl_compare_key_of (const BlDifference *difference)
{
  return g_strdup_printf ("%s/%s", difference->list, difference->id);
}

const BlDifference *
bl_compare_find (BlCompareView *self, const char *key)
{
  const GPtrArray *differences = self->comparison != NULL ? bl_comparison_get_differences (self->comparison) : NULL;

  for (guint i = 0; key != NULL && i < bl_len (differences); i++)
    {
      g_autofree char *own = bl_compare_key_of (bl_at (differences, i));
      if (g_str_equal (own, key))
        return bl_at (differences, i);
    }
  return NULL;
}

int
bl_compare_tab (BlCompareView *self)
{
  return g_strcmp0 (gtk_stack_get_visible_child_name (GTK_STACK (self->stack)), "look") == 0 ? BL_COMPARE_LOOK
                                                                                              : BL_COMPARE_DIFFERENCES;
}

static const char *
mark_of (const BlBoard *board, const char *unknown)
{
  return board != NULL && board->edition != NULL && *board->edition != '\0' ? board->edition : unknown;
}

const char *
bl_compare_other_mark (BlCompareView *self)
{
  const BlBoard *other = self->comparison != NULL ? bl_comparison_get_other (self->comparison) : NULL;

  return mark_of (other, _ ("the other"));
}

/* --- Showing ---------------------------------------------------------------------------------- */

/* Both marks; where they are the same, which is the open one. */
static void
show_whose (BlCompareView *self)
{
  const char *mine = mark_of (bl_edition_get_board (self->edition), _ ("this one")), *theirs = bl_compare_other_mark (self);
  gboolean alike = g_str_equal (mine, theirs);
  g_autofree char *words[2] = { alike ? g_strdup (_ ("this edition")) : g_strdup_printf (_ ("edition %s"), mine), NULL };
  g_autofree char *other = alike ? g_strdup (_ ("the other")) : g_strdup_printf (_ ("edition %s"), theirs);

  gtk_button_set_label (GTK_BUTTON (self->whose[0]), words[0]);
  gtk_button_set_label (GTK_BUTTON (self->whose[1]), other);
  gtk_widget_set_sensitive (self->whose[1], self->comparison != NULL);
  g_autofree char *open = g_strdup_printf (_ ("%s (open)"), words[0]);
  gtk_label_set_label (GTK_LABEL (self->columns[0]), open);
  gtk_label_set_label (GTK_LABEL (self->columns[1]), other);
  gtk_widget_set_visible (gtk_widget_get_parent (gtk_widget_get_parent (self->columns[0])), self->comparison != NULL);
}

static void
show_head (BlCompareView *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  g_autofree char *title = bl_board_title (board->board_number, board->edition);
  const char *label = bl_edition_get_undo_label (self->edition);
  g_autofree char *undo = label != NULL ? g_strdup_printf (_ ("undo: %s"), label) : g_strdup (_ ("undo"));

  gtk_label_set_label (GTK_LABEL (self->title), title);
  gtk_label_set_label (GTK_LABEL (g_object_get_data (G_OBJECT (self->undo), "label")), undo);
  gtk_widget_set_tooltip_text (self->undo, undo);
  gtk_widget_set_sensitive (self->undo, label != NULL);
  gtk_widget_set_visible (self->tabs[BL_COMPARE_LOOK], self->origin != NULL);
  for (int i = 0; i < 2; i++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->tabs[i]), i == bl_compare_tab (self));
  show_whose (self);
}

/* The keys work at once: what was in focus before is not on this page. */
static void
take_first (BlCompareView *self)
{
  GtkWidget *row = gtk_widget_get_first_child (bl_compare_tab (self) == BL_COMPARE_LOOK ? self->look : self->list);

  while (row != NULL && g_object_get_data (G_OBJECT (row), "key") == NULL)
    row = gtk_widget_get_next_sibling (row);
  if (row != NULL)
    bl_compare_select (self, g_object_get_data (G_OBJECT (row), "key"));
  else
    gtk_widget_grab_focus (self->photo);
}

static gboolean
refresh (gpointer data)
{
  BlCompareView *self = data;

  self->refresh_idle = 0;
  if (self->edition == NULL)
    return G_SOURCE_REMOVE;
  show_head (self);
  if (bl_compare_tab (self) == BL_COMPARE_LOOK)
    bl_compare_look_fill (self);
  else
    bl_compare_list_fill (self);
  bl_compare_keys_show (self);
  bl_compare_photo_refresh (self);
  if (self->fresh)
    take_first (self);
  self->fresh = FALSE;
  return G_SOURCE_REMOVE;
}

void
bl_compare_queue_refresh (BlCompareView *self)
{
  if (self->refresh_idle == 0)
    self->refresh_idle = g_idle_add_full (G_PRIORITY_HIGH_IDLE, refresh, self, NULL);
}

static void
edition_changed (BlCompareView *self)
{
  self->changed = TRUE;
  bl_compare_queue_refresh (self);
}

void
bl_compare_select (BlCompareView *self, const char *key)
{
  GtkWidget *list = bl_compare_tab (self) == BL_COMPARE_LOOK ? self->look : self->list;
  g_autofree char *kept = g_strdup (key);

  if (g_strcmp0 (kept, self->selected) == 0)
    return;
  g_free (self->selected);
  self->selected = g_strdup (kept);
  self->filling = TRUE;
  bl_compare_list_select (list, kept, TRUE);
  self->filling = FALSE;
  bl_compare_photo_reveal (self, kept, FALSE);
}

/* Where the row in hand is edited; what the open edition has not, beside what it belongs to. */
void
bl_compare_edit (BlCompareView *self)
{
  static const struct
  {
    const char *list;
    BlElement element;
  } elements[] = {
    { "test_points", BL_ELEMENT_TEST_POINT }, { "measurements", BL_ELEMENT_MEASUREMENT },
    { "components", BL_ELEMENT_COMPONENT },   { "sections", BL_ELEMENT_SECTION },
    { "stages", BL_ELEMENT_STAGE },           { "states", BL_ELEMENT_STATE },
    { "symptoms", BL_ELEMENT_SYMPTOM },       { "photos", BL_ELEMENT_PHOTO },
  };
  BlRef ref = bl_ref (BL_ELEMENT_BOARD, NULL);
  g_auto (GStrv) parts = g_strsplit (self->selected != NULL ? self->selected : "", "/", 2);
  const BlDifference *difference = bl_compare_find (self, self->selected);

  for (guint i = 0; parts[0] != NULL && parts[1] != NULL && i < G_N_ELEMENTS (elements); i++)
    if (g_str_equal (elements[i].list, parts[0]))
      {
        const char *id = difference != NULL && difference->old_id != NULL ? difference->old_id : parts[1];
        BlRef found = bl_ref (elements[i].element, id);
        if (bl_ref_find (bl_edition_get_board (self->edition), &found) != NULL)
          ref = found;
      }
  g_signal_emit (self, signals[EDIT], 0, &ref);
}

/* --- The other edition ------------------------------------------------------------------------ */

static gboolean
same_text (const char *a, const char *b)
{
  return a != NULL && b != NULL && *a != '\0' && g_ascii_strcasecmp (a, b) == 0;
}

/* Editions of the same board first, by their mark; then all other boards. */
static void
fill_others (BlCompareView *self)
{
  const BlBoard *mine = bl_edition_get_board (self->edition);
  g_autoptr (GPtrArray) rows = bl_library_boards (self->library, FALSE, NULL);
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);

  g_array_set_size (self->others, 0);
  gtk_string_list_append (names, _ ("choose an edition"));
  for (guint pass = 0; pass < 2; pass++)
    for (guint i = 0; i < bl_len (rows); i++)
      {
        const BlBoardRow *row = bl_at (rows, i);
        gboolean same = same_text (row->board_number, mine->board_number);
        if (row->id == bl_edition_get_id (self->edition) || same != (pass == 0))
          continue;
        g_autofree char *title = bl_board_title (row->board_number, row->edition);
        g_autofree char *mark
          = g_strdup_printf (_ ("edition %s"), row->edition != NULL && *row->edition != '\0' ? row->edition : "–");
        gtk_string_list_append (names, same ? mark : title);
        g_array_append_val (self->others, row->id);
      }
  self->filling = TRUE;
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->other), G_LIST_MODEL (names));
  self->filling = FALSE;
}

/* The one it was copied from; else the one copied from it, or another of the same number: the first listed. */
static gint64
usual_other (BlCompareView *self)
{
  const BlBoard *mine = bl_edition_get_board (self->edition);
  g_autoptr (GPtrArray) rows = bl_library_boards (self->library, FALSE, NULL);

  if (self->origin != NULL && self->origin->board != 0)
    for (guint i = 0; i < self->others->len; i++)
      if (g_array_index (self->others, gint64, i) == self->origin->board)
        return self->origin->board;
  for (guint i = 0; i < bl_len (rows); i++)
    {
      const BlBoardRow *row = bl_at (rows, i);
      if (row->id != bl_edition_get_id (self->edition) && same_text (row->board_number, mine->board_number))
        return row->id;
    }
  return self->others->len == 1 ? g_array_index (self->others, gint64, 0) : 0;
}

static void
forget_other (BlCompareView *self)
{
  if (self->comparison != NULL)
    g_signal_handlers_disconnect_by_data (self->comparison, self);
  g_clear_object (&self->comparison);
}

void
bl_compare_view_set_other (BlCompareView *self, gint64 other)
{
  g_return_if_fail (BL_IS_COMPARE_VIEW (self) && self->edition != NULL);
  GError *error = NULL;

  forget_other (self);
  bl_compare_photo_forget (self);
  self->comparison = other != 0 ? bl_comparison_new (self->edition, other, &error) : NULL;
  if (self->comparison != NULL)
    g_signal_connect_swapped (self->comparison, "changed", G_CALLBACK (edition_changed), self);
  else if (other != 0)
    bl_widget_report (GTK_WIDGET (self), _ ("The other edition was not opened"), error);
  self->filling = TRUE;
  for (guint i = 0; i < self->others->len; i++)
    if (g_array_index (self->others, gint64, i) == other)
      gtk_drop_down_set_selected (GTK_DROP_DOWN (self->other), i + 1);
  self->filling = FALSE;
  bl_compare_queue_refresh (self);
}

/* --- Opening ---------------------------------------------------------------------------------- */

void
bl_compare_view_close (BlCompareView *self)
{
  g_return_if_fail (BL_IS_COMPARE_VIEW (self));
  if (self->edition == NULL)
    return;
  g_signal_handlers_disconnect_by_data (self->edition, self);
  g_clear_handle_id (&self->refresh_idle, g_source_remove);
  forget_other (self);
  bl_compare_photo_forget (self);
  bl_widget_clear (self->list);
  bl_widget_clear (self->look);
  g_clear_pointer (&self->selected, g_free);
  g_clear_pointer (&self->origin, bl_origin_free);
  g_clear_object (&self->edition);
}

gboolean
bl_compare_view_open (BlCompareView *self, gint64 board, gboolean look, GError **error)
{
  g_return_val_if_fail (BL_IS_COMPARE_VIEW (self), FALSE);
  BlEdition *edition = bl_edition_new (self->library, board, error);

  if (edition == NULL)
    return FALSE;
  bl_compare_view_close (self);
  self->edition = edition;
  /* Undo works without another edition beside it too. */
  g_signal_connect_swapped (edition, "changed", G_CALLBACK (edition_changed), self);
  self->origin = bl_library_get_origin (self->library, board, NULL);
  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), look && self->origin != NULL ? "look" : "differences");
  fill_others (self);
  bl_compare_view_set_other (self, usual_other (self));
  self->fresh = TRUE;
  return TRUE;
}

gint64
bl_compare_view_get_board (BlCompareView *self)
{
  g_return_val_if_fail (BL_IS_COMPARE_VIEW (self), 0);
  return self->edition != NULL ? bl_edition_get_id (self->edition) : 0;
}

/* --- Object ----------------------------------------------------------------------------------- */

/* A job on the bench that belongs to this board must not go on with the document as it was. */
static void
bl_compare_view_unmap (GtkWidget *widget)
{
  BlCompareView *self = BL_COMPARE_VIEW (widget);
  BlShell *shell = bl_shell_of (widget);

  if (self->changed && self->edition != NULL && shell != NULL && !gtk_widget_in_destruction (GTK_WIDGET (shell)))
    bl_shell_board_changed (shell, bl_edition_get_id (self->edition));
  self->changed = FALSE;
  GTK_WIDGET_CLASS (bl_compare_view_parent_class)->unmap (widget);
}

static void
bl_compare_view_dispose (GObject *object)
{
  BlCompareView *self = BL_COMPARE_VIEW (object);

  if (self->box != NULL)
    bl_compare_view_close (self);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_compare_view_parent_class)->dispose (object);
}

static void
bl_compare_view_finalize (GObject *object)
{
  BlCompareView *self = BL_COMPARE_VIEW (object);

  g_clear_pointer (&self->loader, bl_photo_loader_close);
  g_array_unref (self->others);
  g_free (self->photo_id);
  G_OBJECT_CLASS (bl_compare_view_parent_class)->finalize (object);
}

static void
bl_compare_view_class_init (BlCompareViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_compare_view_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_compare_view_finalize;
  GTK_WIDGET_CLASS (klass)->unmap = bl_compare_view_unmap;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_COMPARE_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[EDIT] = g_signal_new ("edit", BL_TYPE_COMPARE_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                G_TYPE_POINTER);
}

static void
bl_compare_view_init (BlCompareView *self)
{
  self->others = g_array_new (FALSE, FALSE, sizeof (gint64));
  self->box = bl_compare_build (self);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  bl_compare_photo_connect (self);
}

GtkWidget *
bl_compare_view_new (BlLibrary *library)
{
  BlCompareView *self = g_object_new (BL_TYPE_COMPARE_VIEW, NULL);

  self->library = library;
  return GTK_WIDGET (self);
}

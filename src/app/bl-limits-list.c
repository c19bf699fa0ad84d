/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of component limits to take a band from. Those that fit a part of the stage come first and alone, until
 * something is typed: then all of this kind of measurement are searched. Unfolded in place, nothing is covered. */
#include "config.h"

#include "bl-limits-list.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-edition-band.h"
#include "bl-format.h"
#include "bl-shell.h"
#include "bl-style.h"

#define MOST_ROWS 30

struct _BlLimitsList
{
  GtkWidget parent_instance;

  BlEdition *edition;
  char *measurement;
  GtkWidget *box, *button, *label, *inside, *search, *rows;
};

G_DEFINE_FINAL_TYPE (BlLimitsList, bl_limits_list, GTK_TYPE_WIDGET)

static const BlMeasurement *
measurement (BlLimitsList *self)
{
  return bl_board_measurement (bl_edition_get_board (self->edition), self->measurement);
}

static void
taken (GtkButton *button, BlLimitsList *self)
{
  const BlLimit *limit = g_object_get_data (G_OBJECT (button), "limit");
  GError *error = NULL;

  if (!bl_edition_take_limit (self->edition, self->measurement, limit, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("Component limits"), error);
  else
    {
      g_autofree char *words
        = g_strdup_printf (_ ("%s: %s. Ctrl Z takes it back."), self->measurement, limit->what);
      bl_widget_notify (GTK_WIDGET (self), words);
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->button), FALSE);
    }
}

/* "4.75 – 5.25 V DC" (transfer full) */
static char *
limits_words (const BlLimit *limit, BlMeasures measures)
{
  g_autofree char *unit = bl_format_unit (measures);
  g_autofree char *low = isnan (limit->low) ? NULL : bl_format_value (measures, limit->low);
  g_autofree char *high = isnan (limit->high) ? NULL : bl_format_value (measures, limit->high);

  if (low != NULL && high != NULL)
    return g_strdup_printf ("%s – %s %s", low, high, unit);
  return low != NULL ? g_strdup_printf ("≥ %s %s", low, unit) : g_strdup_printf ("≤ %s %s", high, unit);
}

static GtkWidget *
make_row (BlLimitsList *self, const BlLimit *limit, const BlComponent *component)
{
  GtkWidget *button = gtk_button_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *what, *detail;
  g_autofree char *limits = limits_words (limit, measurement (self)->measures);
  g_autofree char *title = component != NULL ? g_strdup_printf ("%s  %s", component->id, limit->what)
                                             : g_strdup (limit->what);
  g_autofree char *words = g_strdup_printf (_ ("%s · %s, %s"), limit->conditions, limit->source, _ (limit->status));
  g_autofree char *name = g_strdup_printf ("%s, %s, %s", title, limits, words);

  what = bl_label (title, NULL, 0);
  gtk_label_set_ellipsize (GTK_LABEL (what), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (what, TRUE);
  gtk_box_append (GTK_BOX (head), what);
  gtk_box_append (GTK_BOX (head), bl_label (limits, "strong", 1));
  detail = bl_label (words, "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (detail), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (box), head);
  gtk_box_append (GTK_BOX (box), detail);
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_add_css_class (button, "limit-row");
  gtk_widget_set_tooltip_text (button, words);
  bl_widget_name (button, name);
  g_object_set_data (G_OBJECT (button), "limit", (gpointer) limit);
  g_signal_connect_object (button, "clicked", G_CALLBACK (taken), self, 0);
  return button;
}

/* Every word typed is in it somewhere. */
static gboolean
matches (const BlLimit *limit, const char *typed)
{
  g_autofree char *all = g_strdup_printf ("%s %s %s %s", limit->what, limit->conditions, limit->source, limit->status);
  g_autofree char *text = g_utf8_casefold (all, -1), *wanted = g_utf8_casefold (typed, -1);
  g_auto (GStrv) words = g_strsplit (wanted, " ", -1);

  for (guint i = 0; words[i] != NULL; i++)
    if (strstr (text, words[i]) == NULL)
      return FALSE;
  return TRUE;
}

static void
fill (BlLimitsList *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const char *typed = gtk_editable_get_text (GTK_EDITABLE (self->search));
  guint fitting, shown = 0;

  bl_widget_clear (self->rows);
  if (measurement (self) == NULL)
    return;
  g_autoptr (GPtrArray) limits = bl_limits_for (board, measurement (self), &fitting);
  for (guint i = 0; i < limits->len && shown < MOST_ROWS; i++)
    {
      const BlLimit *limit = bl_at (limits, i);
      const BlComponent *component = NULL;
      BlLimitFit fit;
      if (*typed == '\0' ? fitting > 0 && i >= fitting : !matches (limit, typed))
        continue;
      bl_limit_fit (limit, board, measurement (self), &fit, &component);
      gtk_box_append (GTK_BOX (self->rows), make_row (self, limit, component));
      shown++;
    }
  if (shown == 0)
    gtk_box_append (GTK_BOX (self->rows),
                    bl_label (_ ("no row of this kind of measurement has these words"), "muted", 0));
}

/* What fits may have changed with the document; a list that is open is filled anew. */
static void
refresh (BlLimitsList *self)
{
  guint fitting = 0;

  if (measurement (self) == NULL || measurement (self)->measures >= BL_N_MEASURES)
    return;
  g_autoptr (GPtrArray) limits
    = bl_limits_for (bl_edition_get_board (self->edition), measurement (self), &fitting);
  gboolean open = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->button));
  g_autofree char *words
    = fitting > 0
        ? g_strdup_printf (ngettext ("from component limits: %u row fits", "from component limits: %u rows fit",
                                     fitting),
                           fitting)
        : g_strdup (_ ("from component limits: none fits a part here"));

  gtk_widget_set_visible (GTK_WIDGET (self), limits->len > 0);
  gtk_label_set_label (GTK_LABEL (self->label), words);
  bl_widget_name (self->button, words);
  gtk_widget_set_visible (self->inside, open);
  if (open)
    fill (self);
  else
    bl_widget_clear (self->rows);
}

static void
toggled (BlLimitsList *self)
{
  refresh (self);
  if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->button)))
    gtk_widget_grab_focus (self->search);
}

static void
bl_limits_list_dispose (GObject *object)
{
  BlLimitsList *self = BL_LIMITS_LIST (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->edition);
  G_OBJECT_CLASS (bl_limits_list_parent_class)->dispose (object);
}

static void
bl_limits_list_finalize (GObject *object)
{
  g_free (BL_LIMITS_LIST (object)->measurement);
  G_OBJECT_CLASS (bl_limits_list_parent_class)->finalize (object);
}

static void
bl_limits_list_class_init (BlLimitsListClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_limits_list_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_limits_list_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_limits_list_init (BlLimitsList *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  self->button = gtk_toggle_button_new ();
  self->label = bl_label ("", NULL, 0);
  gtk_button_set_child (GTK_BUTTON (self->button), self->label);
  gtk_widget_add_css_class (self->button, "act");
  gtk_widget_set_halign (self->button, GTK_ALIGN_START);
  g_signal_connect_swapped (self->button, "toggled", G_CALLBACK (toggled), self);
  self->inside = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  self->search = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->search), _ ("search all rows: type, condition, source"));
  bl_widget_name (self->search, _ ("Search component limits"));
  gtk_widget_add_css_class (self->search, "slot");
  g_signal_connect_swapped (self->search, "changed", G_CALLBACK (fill), self);
  self->rows = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (self->inside), self->search);
  gtk_box_append (GTK_BOX (self->inside), self->rows);
  gtk_widget_set_visible (self->inside, FALSE);
  gtk_box_append (GTK_BOX (self->box), self->button);
  gtk_box_append (GTK_BOX (self->box), self->inside);
  gtk_widget_set_hexpand (self->box, TRUE);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
bl_limits_list_new (BlEdition *edition, const char *id)
{
  g_return_val_if_fail (BL_IS_EDITION (edition) && id != NULL, NULL);
  BlLimitsList *self = g_object_new (BL_TYPE_LIMITS_LIST, NULL);

  self->edition = g_object_ref (edition);
  self->measurement = g_strdup (id);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  g_signal_connect_object (edition, "changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  refresh (self);
  return GTK_WIDGET (self);
}

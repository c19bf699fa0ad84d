/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The origin of a band as one quiet line. What should be read first is a button, for it leads somewhere; nothing
 * else of it can be pressed. */
#include "config.h"

#include "bl-band-from.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

struct _BlBandFrom
{
  GtkWidget parent_instance;

  GtkWidget *label, *button, *button_label;
  char *wanted;
};

enum
{
  WANTED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlBandFrom, bl_band_from, GTK_TYPE_WIDGET)

static void
pressed (GtkButton *button, BlBandFrom *self)
{
  g_autofree char *wanted = g_strdup (self->wanted);

  if (wanted != NULL)
    g_signal_emit (self, signals[WANTED], 0, wanted);
}

/* "read LN at TPL first" */
static char *
offer (BlBench *bench, const char *id)
{
  BlMeasurementItem *other = bl_bench_find (bench, id);
  const char *point = other != NULL ? bl_measurement_item_get_point (other) : id;

  return g_str_equal (point, id) ? g_strdup_printf (_ ("read %s first"), id)
                                 : g_strdup_printf (_ ("read %s at %s first"), id, point);
}

void
bl_band_from_show (BlBandFrom *self, BlBench *bench, BlMeasurementItem *item)
{
  g_return_if_fail (BL_IS_BAND_FROM (self));
  const char *from = item != NULL ? bl_measurement_item_get_from (item) : "";
  const char *whole = item != NULL ? bl_measurement_item_get_from_long (item) : NULL;
  const char *first = item != NULL && bench != NULL ? bl_measurement_item_get_read_first (item) : NULL;

  g_free (self->wanted);
  self->wanted = g_strdup (first);
  gtk_widget_set_visible (self->button, first != NULL);
  gtk_widget_set_visible (self->label, first == NULL && *from != '\0');
  gtk_widget_set_tooltip_text (GTK_WIDGET (self), whole != NULL && *whole != '\0' ? whole : NULL);
  gtk_label_set_label (GTK_LABEL (self->label), from);
  if (first == NULL)
    return;
  g_autofree char *words = offer (bench, first);
  g_autofree char *name = g_strdup_printf (_ ("Go to %s: %s"), first, whole);
  gtk_label_set_label (GTK_LABEL (self->button_label), words);
  bl_widget_name (self->button, name);
}

static void
bl_band_from_dispose (GObject *object)
{
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL;)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_band_from_parent_class)->dispose (object);
}

static void
bl_band_from_finalize (GObject *object)
{
  g_free (BL_BAND_FROM (object)->wanted);
  G_OBJECT_CLASS (bl_band_from_parent_class)->finalize (object);
}

static void
bl_band_from_class_init (BlBandFromClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_band_from_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_band_from_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BOX_LAYOUT);
  signals[WANTED] = g_signal_new ("wanted", BL_TYPE_BAND_FROM, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                  G_TYPE_STRING);
}

static void
bl_band_from_init (BlBandFrom *self)
{
  self->label = bl_label ("", "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->label), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (self->label), 24);
  gtk_widget_set_parent (self->label, GTK_WIDGET (self));
  self->button = gtk_button_new ();
  self->button_label = bl_label ("", "small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->button_label), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (self->button_label), 24);
  gtk_button_set_child (GTK_BUTTON (self->button), self->button_label);
  gtk_widget_add_css_class (self->button, "act");
  gtk_widget_add_css_class (self->button, "band-from");
  gtk_widget_set_visible (self->button, FALSE);
  g_signal_connect (self->button, "clicked", G_CALLBACK (pressed), self);
  gtk_widget_set_parent (self->button, GTK_WIDGET (self));
}

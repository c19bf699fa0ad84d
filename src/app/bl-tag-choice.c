/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a label is printed on and what stands on it, seen before it is printed: label stock costs, and a label with the
 * customer's name goes wherever the board goes. Number, board, serial number and code always stand on it, or it would be
 * no label of a job. */
#include "config.h"

#include "bl-tag-choice.h"

#include <glib/gi18n-lib.h>

#include "bl-job-tag-fill.h"
#include "bl-settings.h"
#include "bl-style.h"

#define MM (72 / 25.4)
#define SHEET_SHOWN 62.0 /* mm of a sheet from its upper edge; the label ends at 50 */

/* Where there are no settings, as in a program that was not installed. */
static BlTagChoice own = { BL_TAG_62X29, TRUE, TRUE };

BlTagChoice
bl_tag_choice (void)
{
  GSettings *settings = bl_settings ();
  BlTagChoice choice = own;

  if (settings == NULL)
    return choice;
  g_autofree char *name = g_settings_get_string (settings, "label-size");
  bl_tag_size_parse (name, &choice.size);
  choice.customer = g_settings_get_boolean (settings, "label-customer");
  choice.complaint = g_settings_get_boolean (settings, "label-complaint");
  return choice;
}

void
bl_tag_choose (const BlTagChoice *choice)
{
  g_return_if_fail (choice != NULL && (guint) choice->size < BL_N_TAG_SIZES);
  GSettings *settings = bl_settings ();

  own = *choice;
  if (settings == NULL)
    return;
  g_settings_set_string (settings, "label-size", bl_tag_size_name (choice->size));
  g_settings_set_boolean (settings, "label-customer", choice->customer);
  g_settings_set_boolean (settings, "label-complaint", choice->complaint);
}

const char *
bl_tag_size_words (BlTagSize size)
{
  static const char *const words[BL_N_TAG_SIZES] = { N_ ("Label 62 × 29 mm"), N_ ("Label 89 × 36 mm"),
                                                     N_ ("Sheet A4, to cut out"), N_ ("Sheet Letter, to cut out") };

  g_return_val_if_fail ((guint) size < BL_N_TAG_SIZES, NULL);
  return _ (words[size]);
}

BlJobTag *
bl_tag_choice_fill (const BlTagChoice *choice, BlLibrary *library, gint64 job, GError **error)
{
  g_return_val_if_fail (choice != NULL && library != NULL, NULL);
  BlJobTag *tag = bl_job_tag_fill (library, job, error);

  if (tag != NULL && !choice->customer)
    g_clear_pointer (&tag->customer, g_free);
  if (tag != NULL && !choice->complaint)
    g_clear_pointer (&tag->complaint, g_free);
  return tag;
}

/* --- what it looks like --- */

struct _BlTagPreview
{
  GtkWidget parent_instance;

  BlTagChoice choice;
  BlJobTag *tag; /* NULL: no job, or it cannot be read */
  int width;     /* px */
};

G_DEFINE_FINAL_TYPE (BlTagPreview, bl_tag_preview, GTK_TYPE_WIDGET)

static double
shown_mm (BlTagPreview *self, double *width)
{
  double height;

  bl_tag_size_mm (self->choice.size, width, &height);
  return MIN (height, SHEET_SHOWN);
}

static void
bl_tag_preview_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlTagPreview *self = BL_TAG_PREVIEW (widget);
  float w = (float) gtk_widget_get_width (widget), h = (float) gtk_widget_get_height (widget);
  double width, height;

  if (self->tag == NULL)
    return;
  bl_tag_size_mm (self->choice.size, &width, &height);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, w, h));
  cairo_set_source_rgb (cr, 1, 1, 1); /* paper, in the dark too */
  cairo_paint (cr);
  cairo_scale (cr, w / (width * MM), w / (width * MM));
  bl_job_tag_draw (self->tag, cr, width * MM, height * MM, NULL);
  cairo_destroy (cr);
}

static void
bl_tag_preview_finalize (GObject *object)
{
  g_clear_pointer (&BL_TAG_PREVIEW (object)->tag, bl_job_tag_free);
  G_OBJECT_CLASS (bl_tag_preview_parent_class)->finalize (object);
}

static void
bl_tag_preview_class_init (BlTagPreviewClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_tag_preview_finalize;
  GTK_WIDGET_CLASS (klass)->snapshot = bl_tag_preview_snapshot;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_IMG);
}

static void
bl_tag_preview_init (BlTagPreview *self)
{
  gtk_widget_add_css_class (GTK_WIDGET (self), "paper");
  gtk_widget_set_halign (GTK_WIDGET (self), GTK_ALIGN_START);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
}

GtkWidget *
bl_tag_preview_new (int width)
{
  g_return_val_if_fail (width > 0, NULL);
  BlTagPreview *self = g_object_new (BL_TYPE_TAG_PREVIEW, NULL);

  self->width = width;
  return GTK_WIDGET (self);
}

void
bl_tag_preview_show (BlTagPreview *self, BlLibrary *library, gint64 job)
{
  g_return_if_fail (BL_IS_TAG_PREVIEW (self) && library != NULL);
  double width;

  self->choice = bl_tag_choice ();
  g_clear_pointer (&self->tag, bl_job_tag_free);
  if (job != 0)
    self->tag = bl_tag_choice_fill (&self->choice, library, job, NULL);
  double height = shown_mm (self, &width);
  gtk_widget_set_size_request (GTK_WIDGET (self), self->width, (int) (self->width * height / width));
  g_autofree char *words = g_strdup_printf (_ ("The label as it will be printed: %s"), bl_tag_size_words (self->choice.size));
  bl_widget_name (GTK_WIDGET (self), words);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

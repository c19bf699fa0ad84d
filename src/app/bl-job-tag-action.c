/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label of a job on paper. The size is asked for in the print dialog, on a page of our own, since a label printer's
 * paper does not stand in every driver's list; the size taken last is the one offered. */
#include "config.h"

#include "bl-job-tag-action.h"

#include <glib/gi18n-lib.h>

#include "bl-job-tag-draw.h"
#include "bl-job-tag-fill.h"
#include "bl-print.h"
#include "bl-settings.h"
#include "bl-shell.h"
#include "bl-style.h"

#define KEY "label-size"

typedef struct
{
  BlJobTag *tag;
  BlTagSize size;
  GtkDropDown *sizes; /* of the dialog, while it is open */
} Printing;

static void
printing_free (Printing *printing)
{
  bl_job_tag_free (printing->tag);
  g_free (printing);
}

static BlTagSize
size_taken_last (void)
{
  GSettings *settings = bl_settings ();
  g_autofree char *name = settings != NULL ? g_settings_get_string (settings, KEY) : NULL;
  BlTagSize size = BL_TAG_62X29;

  if (name != NULL)
    bl_tag_size_parse (name, &size);
  return size;
}

static GtkPageSetup *
page_of (BlTagSize size)
{
  GtkPageSetup *page = gtk_page_setup_new ();
  double width, height;

  bl_tag_size_mm (size, &width, &height);
  GtkPaperSize *paper = size == BL_TAG_A4       ? gtk_paper_size_new (GTK_PAPER_NAME_A4)
                        : size == BL_TAG_LETTER ? gtk_paper_size_new (GTK_PAPER_NAME_LETTER)
                                                : gtk_paper_size_new_custom (bl_tag_size_name (size),
                                                                             bl_tag_size_name (size), width, height,
                                                                             GTK_UNIT_MM);
  gtk_page_setup_set_paper_size (page, paper);
  gtk_page_setup_set_top_margin (page, 0, GTK_UNIT_MM);
  gtk_page_setup_set_bottom_margin (page, 0, GTK_UNIT_MM);
  gtk_page_setup_set_left_margin (page, 0, GTK_UNIT_MM);
  gtk_page_setup_set_right_margin (page, 0, GTK_UNIT_MM);
  gtk_paper_size_free (paper);
  return page;
}

/* --- the dialog's own page --- */

static GtkWidget *
make_choice (GtkPrintOperation *operation, Printing *printing)
{
  static const char *const words[] = { N_ ("Label 62 × 29 mm"), N_ ("Label 89 × 36 mm"), N_ ("Sheet A4, to cut out"),
                                       N_ ("Sheet Letter, to cut out") };
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);

  for (guint i = 0; i < BL_N_TAG_SIZES; i++)
    gtk_string_list_append (names, _ (words[i]));
  printing->sizes = GTK_DROP_DOWN (gtk_drop_down_new (G_LIST_MODEL (g_steal_pointer (&names)), NULL));
  gtk_drop_down_set_selected (printing->sizes, printing->size);
  gtk_widget_set_margin_start (box, 18);
  gtk_widget_set_margin_top (box, 18);
  gtk_widget_set_valign (box, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (box), bl_label (_ ("Size"), NULL, 0));
  gtk_box_append (GTK_BOX (box), GTK_WIDGET (printing->sizes));
  return box;
}

static void
take_choice (GtkPrintOperation *operation, GtkWidget *widget, Printing *printing)
{
  guint selected = gtk_drop_down_get_selected (printing->sizes);
  GSettings *settings = bl_settings ();

  if (selected < BL_N_TAG_SIZES)
    printing->size = (BlTagSize) selected;
  printing->sizes = NULL;
  if (settings != NULL)
    g_settings_set_string (settings, KEY, bl_tag_size_name (printing->size));
}

/* --- printing --- */

static void
give_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, GtkPageSetup *setup, Printing *printing)
{
  g_autoptr (GtkPageSetup) wanted = page_of (printing->size);

  gtk_page_setup_set_paper_size_and_default_margins (setup, gtk_page_setup_get_paper_size (wanted));
}

static void
draw_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, Printing *printing)
{
  GError *error = NULL;
  GtkPageSetup *setup = gtk_print_context_get_page_setup (context);

  if (!bl_job_tag_draw (printing->tag, gtk_print_context_get_cairo_context (context),
                        gtk_page_setup_get_paper_width (setup, GTK_UNIT_POINTS),
                        gtk_page_setup_get_paper_height (setup, GTK_UNIT_POINTS), &error))
    bl_print_fail (operation, error);
}

void
bl_job_tag_print (GtkWidget *widget, BlLibrary *library, gint64 job)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  GError *error = NULL;
  BlJobTag *tag = bl_job_tag_fill (library, job, &error);

  if (tag == NULL)
    {
      bl_widget_report (widget, _ ("The label cannot be printed"), error);
      return;
    }
  g_autofree char *name = g_strdup_printf (_ ("Label of job %d"), tag->number);
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (widget, name);
  Printing *printing = g_new0 (Printing, 1);
  printing->tag = tag;
  printing->size = size_taken_last ();
  g_object_set_data_full (G_OBJECT (operation), "printing", printing, (GDestroyNotify) printing_free);
  g_autoptr (GtkPageSetup) page = page_of (printing->size);
  gtk_print_operation_set_n_pages (operation, 1);
  gtk_print_operation_set_default_page_setup (operation, page);
  gtk_print_operation_set_custom_tab_label (operation, _ ("Label"));
  g_signal_connect (operation, "request-page-setup", G_CALLBACK (give_page), printing);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), printing);
  g_signal_connect (operation, "create-custom-widget", G_CALLBACK (make_choice), printing);
  g_signal_connect (operation, "custom-widget-apply", G_CALLBACK (take_choice), printing);
  bl_print_run (operation, _ ("The label was not printed"), _ ("Label sent to the printer"));
}

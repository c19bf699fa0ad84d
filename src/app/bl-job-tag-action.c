/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label of a job on paper, as it was chosen before (bl-tag-choice.h). Its size is given to the print dialog as a paper
 * of our own, since a label printer's paper does not stand in every driver's list. */
#include "config.h"

#include "bl-job-tag-action.h"

#include <glib/gi18n-lib.h>

#include "bl-print.h"
#include "bl-shell.h"
#include "bl-tag-choice.h"

typedef struct
{
  BlJobTag *tag;
  BlTagSize size;
} Printing;

static void
printing_free (Printing *printing)
{
  bl_job_tag_free (printing->tag);
  g_free (printing);
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
  BlTagChoice choice = bl_tag_choice ();
  BlJobTag *tag = bl_tag_choice_fill (&choice, library, job, &error);

  if (tag == NULL)
    {
      bl_widget_report (widget, _ ("The label cannot be printed"), error);
      return;
    }
  g_autofree char *name = g_strdup_printf (_ ("Label of job %d"), tag->number);
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (widget, name);
  Printing *printing = g_new0 (Printing, 1);
  printing->tag = tag;
  printing->size = choice.size;
  g_object_set_data_full (G_OBJECT (operation), "printing", printing, (GDestroyNotify) printing_free);
  g_autoptr (GtkPageSetup) page = page_of (printing->size);
  gtk_print_operation_set_n_pages (operation, 1);
  gtk_print_operation_set_default_page_setup (operation, page);
  g_signal_connect (operation, "request-page-setup", G_CALLBACK (give_page), printing);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), printing);
  bl_print_run (operation, _ ("The label was not printed"), _ ("Label sent to the printer"));
}

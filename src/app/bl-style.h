/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <adwaita.h>

#include "bl-palette.h"
#include "bl-shape-draw.h"

G_BEGIN_DECLS

/* Loads the style sheets for the default display, once, and follows dark and light. */
void bl_style_install (void);
/* Makes a window wear the look: class "bench", and our font where the desktop names none. */
void bl_style_dress (GtkWidget *window);

/* The palette that goes with the theme shown now. (transfer none) */
const BlPalette *bl_style_palette (void);

/* Redraws widget when dark changes to light and back. */
void bl_style_watch (GtkWidget *widget);

/* A layout in the widget's font at size px (absolute) and weight (400, 700, 800), with figures of
 * equal width. Returns: (transfer full). */
PangoLayout *bl_style_layout (GtkWidget *widget, const char *text, double px, int weight);
/* Draws layout with its left (align 0), middle (0.5) or right (1) at x and its line's middle at y. */
void bl_style_show (cairo_t *cr, PangoLayout *layout, const BlColour *colour, double x, double y,
                    double align);
/* The same in one call; width > 0: ellipsized to it. Returns the width drawn, px. */
double bl_style_text (GtkWidget *widget, cairo_t *cr, const char *text, double px, int weight,
                      const BlColour *colour, double x, double y, double align, double width);

/* A label with classes, for panels built in code; width_chars 0: natural, otherwise ellipsized. */
GtkWidget *bl_label (const char *text, const char *classes, float xalign);
/* A key cap: the words on a key in a thin frame. */
GtkWidget *bl_key_cap (const char *key);
/* A button of words and a key cap, which comes first where cap_first; cap NULL: a label alone. Its name is the words;
 * pressed, it does not take the focus. (transfer floating) */
GtkWidget *bl_act_button (const char *css, const char *words, const char *cap, gboolean cap_first);
/* Pressed, button calls pressed with what, which it takes. The button may be gone before the call is over: rows are made
 * anew by what it does. */
typedef void (*BlPressed) (const char *what, gpointer data);
void bl_button_tells (GtkWidget *button, char *what, BlPressed pressed, gpointer data);
/* Removes all children of a box or list box. */
void bl_widget_clear (GtkWidget *container);
/* The height, at most height, that shows whole children of a vertical box only; height where not even
 * the first fits, or all do. */
int bl_widget_whole_rows (GtkWidget *box, int width, int height);
/* Style class that colours the word of a verdict. (transfer none) */
const char *bl_shape_css (BlShape shape);
/* Text is typed in it, in one line or in several. widget may be NULL. */
gboolean bl_widget_is_text (GtkWidget *widget);
/* The name assistive technology reads. */
void bl_widget_name (GtkWidget *widget, const char *name);
/* A tooltip for what is made or filled by the hundred: the toolkit's own asks the display server three times where the
 * pointer is, for each that is set. words may be NULL. */
void bl_widget_tip (GtkWidget *widget, const char *words);

/* A letter or digit typed anywhere on the page but in an entry begins a search in this one. */
void bl_type_to_find (GtkWidget *page, GtkEditable *search);

G_END_DECLS

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which meter is in hand: one of the shop's, or an accuracy that is typed. A shop without meters is asked for
 * the accuracy at once. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-meter-words.h"
#include "bl-preferences.h"
#include "bl-settings.h"

#define TYPED "typed:"
#define SHOP "shop:"

static void
ask_typed (BlBenchPage *self)
{
  BlChoicePanel *panel = BL_CHOICE_PANEL (self->choice);

  bl_choice_panel_begin (panel, "meter", _ ("Accuracy of the meter"),
                         _ ("Per cent of reading + counts @ value of one count, in input resistance: "
                            "0.5%+3@0.01 in 10M. Empty: exact."));
  bl_choice_panel_add_entry (panel, _ ("0.5%+3@0.01 in 10M"), bl_bench_get_meter (self->bench));
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
add_meter (BlBenchPage *self, const BlShopMeter *meter)
{
  const BlShopMeter *now = bl_bench_get_shop_meter (self->bench);
  g_autofree char *id = g_strdup_printf ("%" G_GINT64_FORMAT, meter->id);
  g_autofree char *due = bl_meter_calibration_words (meter, g_get_real_time ());
  g_autofree char *state = due != NULL ? bl_meter_calibration_state (meter, g_get_real_time ()) : NULL;
  const char *detail = now != NULL && now->id == meter->id ? _ ("in hand") : state;

  bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 0, meter->name, detail, id);
}

void
bl_bench_meter_ask (BlBenchPage *self)
{
  g_autoptr (GPtrArray) meters = bl_library_meters (self->library, NULL);
  g_autofree char *hint = NULL;

  if (bl_len (meters) == 0)
    {
      ask_typed (self);
      return;
    }
  if (bl_bench_get_meter (self->bench) != NULL && *bl_bench_get_meter (self->bench) != '\0')
    hint = g_strdup_printf (_ ("now: %s"), bl_bench_get_meter (self->bench));
  bl_choice_panel_begin (BL_CHOICE_PANEL (self->choice), "meter", _ ("Meter in hand"), hint);
  for (guint i = 0; i < meters->len; i++)
    add_meter (self, bl_at (meters, i));
  bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 't', _ ("typed accuracy …"), NULL, TYPED);
  bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 's', _ ("the shop’s meters …"), NULL, SHOP);
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

void
bl_bench_meter_chosen (BlBenchPage *self, const char *id)
{
  GError *error = NULL;

  if (g_str_equal (id, TYPED))
    ask_typed (self);
  else if (g_str_equal (id, SHOP))
    bl_preferences_present (GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))), self->library, "meters");
  else
    bl_bench_page_check (self, bl_bench_set_shop_meter (self->bench, g_ascii_strtoll (id, NULL, 10), &error),
                         _ ("Meter"), &error);
}

/* A job without a word about the meter, and without a reading, begins with the shop's usual one, else with
 * the accuracy that the preferences say. */
void
bl_bench_meter_begin (BlBenchPage *self)
{
  GSettings *settings = bl_settings ();
  g_autofree char *typed = settings != NULL ? g_settings_get_string (settings, "meter") : NULL;
  GPtrArray *records = bl_bench_get_records (self->bench);
  gint64 usual = 0;

  for (guint i = 0; i < bl_len (records); i++)
    if (((BlRecord *) bl_at (records, i))->kind == BL_RECORD_READING)
      return;
  if (bl_bench_meter_record (self->bench, NULL) != NULL)
    return;
  if (bl_library_get_usual_meter (self->library, &usual, NULL) && usual != 0)
    bl_bench_set_shop_meter (self->bench, usual, NULL);
  else if (typed != NULL && *typed != '\0')
    bl_bench_set_meter (self->bench, typed, NULL);
}

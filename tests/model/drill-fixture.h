/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-drill-run-private.h"

#include "example.h"
#include "scratch.h"

#include "bl-bench-practice.h"
#include "bl-bench-safe.h"
#include "bl-bench-supply.h"
#include "bl-library-steps.h"

/* A shop with the example board, a person who practises, and the drills done on it; what a run tells is counted. */
typedef struct
{
  char *folder, *shop_path, *path;
  BlLibrary *shop;
  BlPractice *practice;
  gint64 board, person;
  guint n_changed, n_scored, acts;
} Fixture;

static inline void
open_both (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;

  fixture->shop = bl_library_open (fixture->shop_path, TRUE, &error);
  g_assert_no_error (error);
  fixture->practice = bl_practice_new (fixture->shop, fixture->path, &error);
  g_assert_no_error (error);
}

static inline void
close_both (Fixture *fixture)
{
  g_assert_finalize_object (fixture->practice);
  bl_library_close (fixture->shop);
}

static inline void
set_up (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = example_board ();

  fixture->folder = scratch_new ();
  fixture->shop_path = scratch_file (fixture->folder, "shop");
  fixture->path = scratch_file (fixture->folder, "practice");
  open_both (fixture);
  fixture->board = bl_library_add_board (fixture->shop, board, FALSE, &error);
  fixture->person = bl_practice_add_person (fixture->practice, "ab", &error);
  g_assert_no_error (error);
}

static inline void
tear_down (Fixture *fixture, gconstpointer data)
{
  close_both (fixture);
  g_free (fixture->shop_path);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static inline gint64
add_drill (Fixture *fixture, BlDrillKind kind, guint32 seed)
{
  g_autoptr (GError) error = NULL;
  BlPracticeSubject subject = { fixture->board, 0 };
  BlDrillOrder order = { kind, NULL, seed };
  gint64 id = bl_practice_add_drill (fixture->practice, fixture->person, &subject, &order, &error);

  g_assert_no_error (error);
  return id;
}

static inline void
changed_cb (Fixture *fixture)
{
  fixture->n_changed++;
}

static inline void
scored_cb (Fixture *fixture)
{
  fixture->n_scored++;
}

static inline void
unsafe_cb (Fixture *fixture, guint acts)
{
  fixture->acts |= acts;
}

static inline BlDrillRun *
open_run (Fixture *fixture, gint64 drill)
{
  g_autoptr (GError) error = NULL;
  BlDrillRun *run = bl_drill_run_new (fixture->practice, drill, &error);

  g_assert_no_error (error);
  fixture->n_changed = fixture->n_scored = fixture->acts = 0;
  g_signal_connect_swapped (run, "changed", G_CALLBACK (changed_cb), fixture);
  g_signal_connect_swapped (run, "scored", G_CALLBACK (scored_cb), fixture);
  g_signal_connect_swapped (run, "unsafe", G_CALLBACK (unsafe_cb), fixture);
  return run;
}

static inline BlMeasurementItem *
item (BlDrillRun *run, const char *id)
{
  BlMeasurementItem *found = bl_bench_find (bl_drill_run_get_bench (run), id);

  g_assert_nonnull (found);
  return found;
}

static inline void
measure (BlDrillRun *run, const char *id)
{
  g_autoptr (GError) error = NULL;

  bl_drill_run_measure (run, item (run, id), &error);
  g_assert_no_error (error);
  g_assert_nonnull (bl_measurement_item_get_record (item (run, id)));
}

static inline void
work_safely (BlDrillRun *run)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_drill_run_read_cautions (run, &error));
  g_assert_true (bl_drill_run_read_cautions (run, &error));
  bl_bench_set_state (bl_drill_run_get_bench (run), "run", &error);
  bl_bench_say_supply (bl_drill_run_get_bench (run), BL_SUPPLY_ISOLATED | BL_SUPPLY_LIMITED, &error);
  g_assert_no_error (error);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <jansson.h>

/* Two diagnoses as printed, figure by figure: lists by what their items are about, probabilities and
 * bits to 1e-9, decibans to 1e-7, and ours in order of probability. Adds how many figures were compared
 * to compared. Returns what differs, a line each; "" when nothing does. (transfer full) */
char *compare_diagnoses (json_t *ours, json_t *theirs, guint *compared);

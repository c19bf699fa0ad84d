/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-plan.h"

G_BEGIN_DECLS

/* Appends the members "plan", "acts" and "not_visible" of a diagnosis that was asked for them, each
 * after a comma. */
void bl_plan_append_json (GString *out, const BlDiagnosis *diagnosis);

G_END_DECLS

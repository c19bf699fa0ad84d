/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-plan.h"

G_BEGIN_DECLS

/* Appends what a reader wants to know of the plan, the acts on parts and the modes that no measurement
 * shows, as far as the diagnosis was asked for them. */
void bl_cli_append_plan (GString *out, const BlDiagnosis *diagnosis);

G_END_DECLS

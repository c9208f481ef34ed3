#pragma once

#include <QPainter>

#include "core/report/scene.h"
#include "widgets/figures/figure_size.h"
#include "widgets/figures/scene_marks.h"

namespace beatwitness::widgets {

struct PaintOptions {
    bool transparent = false;  ///< no paper behind the scene
    bool vector = false;
    bool grey = false;
};

/// Draws the scene on `size.paper`, whose unit (a point) is the painter's. The one drawing that screen,
/// export and write-up share.
void paintScene(QPainter& painter, const report::Scene& scene, const FigureSize& size, const Palette& palette,
                const PaintOptions& options = {});

}  // namespace beatwitness::widgets

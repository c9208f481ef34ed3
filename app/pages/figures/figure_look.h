#pragma once

#include "core/library/figure_particulars.h"
#include "widgets/figures/figure_export.h"
#include "widgets/figures/figure_size.h"

/// The look of a stored figure as the drawing takes it.
namespace beatwitness::app {

/// Faults: those of figureSizeOf().
[[nodiscard]] inline Result<widgets::FigureSize> sizeOf(const library::FigureLook& look,
                                                        const report::Scene& scene) {
    return widgets::figureSizeOf(QString::fromStdString(look.size), scene, look.dpi);
}

[[nodiscard]] inline widgets::ExportStyle styleOf(const library::FigureLook& look) {
    return {look.dark, look.transparent, look.grey};
}

}  // namespace beatwitness::app

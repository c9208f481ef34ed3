#pragma once

#include <QString>
#include <optional>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/library/figure_particulars.h"

/// Words of the Figures page.
namespace beatwitness::app {

struct PresetSize {
    QString size;   ///< as it is stored
    QString words;  ///< "1920 × 1080 px"
};
[[nodiscard]] std::vector<PresetSize> presetSizes();
/// "1920 × 1080 px, dark, transparent".
[[nodiscard]] QString lookWords(const library::FigureLook& look);
/// "2031-03-02".
[[nodiscard]] QString dayOf(Micros since1970);
/// "12:30", "1:02:03" or seconds; nothing where it is none.
[[nodiscard]] std::optional<double> sessionTimeOf(const QString& text);

}  // namespace beatwitness::app

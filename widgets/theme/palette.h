#pragma once

#include <QColor>
#include <QPalette>
#include <array>

#include "core/flags/flag.h"
#include "widgets/theme/hatch.h"

namespace beatwitness::widgets {

/// How flags of one kind look: hue tells the family (timing, rate, signal), lightness, hatch and code the
/// kind.
struct FlagStyle {
    QColor colour;
    Hatch hatch = Hatch::HollowDashed;
    const char* code = "";  ///< two to four characters, the same in every language
};

/// Every colour of the workstation in one lightness.
///
/// Text colours keep 4.5:1 and marks 3:1 against `paper` and `surface`; the traces stay apart under the three
/// kinds of colour blindness too (tests/widgets/plots recomputes both).
struct Palette {
    bool dark = false;
    QColor paper;                  ///< behind data
    QColor surface;                ///< side panels, menu bar, quiet boxes
    QColor raised;                 ///< fields and buttons on `surface`
    QColor ink;                    ///< text, the reference, the 1:1 guide
    QColor quietInk;               ///< captions, tick labels; still 4.5:1
    QColor hairline;               ///< rules and grid lines, never the only mark of anything
    QColor accent;                 ///< the one accent: selection, focus ring, links; 4.5:1 as text
    QColor onAccent;               ///< text on `accent`
    QColor accentTint;             ///< quiet selection behind text in `ink`
    QColor reference;              ///< drawn 1.8 px wide
    std::array<QColor, 4> traces;  ///< test devices A to D; text stays in `ink` beside a swatch
    QColor warning;                ///< amber of warnings and of the 1:2 and 2:1 guides; 4.5:1 as text
    QColor badge;                  ///< behind the cursor's time and tooltips
    QColor onBadge;
    std::array<QColor, 9> ramp;                                    ///< "fern": few to many
    std::array<FlagStyle, flags::allFlagKinds.size()> flagStyles;  ///< in the order of allFlagKinds

    [[nodiscard]] const QColor& trace(int test) const {
        return traces[static_cast<std::size_t>(test) % traces.size()];
    }
    [[nodiscard]] const FlagStyle& flag(flags::FlagKind kind) const;
    /// `share` 0 to 1 along the ramp, linear in RGB between its nine steps.
    [[nodiscard]] QColor rampAt(double share) const;
};

[[nodiscard]] const Palette& lightPalette();
[[nodiscard]] const Palette& darkPalette();

[[nodiscard]] QPalette toQPalette(const Palette& palette);

/// `share` (0 to 1) of `over` on `under`; both opaque.
[[nodiscard]] QColor mixed(const QColor& under, const QColor& over, double share);

/// Contrast ratio of WCAG 2.2, 1 to 21. Both opaque.
[[nodiscard]] double contrastRatio(const QColor& a, const QColor& b);

}  // namespace beatwitness::widgets

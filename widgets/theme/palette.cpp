#include "widgets/theme/palette.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::widgets {
namespace {

using FlagColours = std::array<const char*, flags::allFlagKinds.size()>;

/// Hatches and codes of the kinds, in the order of allFlagKinds, with the colours of one lightness.
std::array<FlagStyle, flags::allFlagKinds.size()> flagStyles(const FlagColours& colours) {
    std::array<FlagStyle, flags::allFlagKinds.size()> styles{{{{}, Hatch::HollowDashed, "OUT"},
                                                              {{}, Hatch::Vertical, "SPK"},
                                                              {{}, Hatch::Horizontal, "\xC3\x97\xC2\xBD"},
                                                              {{},
                                                               Hatch::Grid,
                                                               "\xC3\x97"
                                                               "2"},
                                                              {{}, Hatch::DiagonalGrid, "CAD"},
                                                              {{}, Hatch::Dots, "STK"},
                                                              {{}, Hatch::FallingDiagonals, "RISE"},
                                                              {{}, Hatch::RisingDiagonals, "LAG"},
                                                              {{}, Hatch::Chevrons, "DMP"},
                                                              {{}, Hatch::Steps, "ADR"}}};
    for (std::size_t i = 0; i < styles.size(); ++i)
        styles[i].colour = QColor{colours[i]};
    return styles;
}

Palette makeLight() {
    Palette p;
    p.paper = "#FBFAF7";
    p.surface = "#F2F0EB";
    p.raised = "#FFFEFC";
    p.ink = "#20262A";
    p.quietInk = "#5A6268";
    p.hairline = "#E2DFD8";
    p.accent = "#1A7468";
    p.onAccent = "#FFFFFF";
    p.accentTint = "#E0EFEB";
    p.reference = "#20262A";
    p.traces = {QColor{"#1F7D72"}, QColor{"#7E3A0C"}, QColor{"#8A3FE0"}, QColor{"#AA8414"}};
    p.warning = "#7A5200";
    p.badge = "#20262A";
    p.onBadge = "#FBFAF7";
    p.ramp = {QColor{"#E9F1DC"}, QColor{"#CAE0BA"}, QColor{"#A7CC9F"}, QColor{"#7EB58D"}, QColor{"#5B9A82"},
              QColor{"#397F76"}, QColor{"#276465"}, QColor{"#1C4B52"}, QColor{"#15323F"}};
    p.flagStyles = flagStyles({"#5F7976", "#323C3A", "#574A15", "#7E6922", "#AB8921", "#5599AD", "#FF198F",
                               "#8F1270", "#C300E8", "#565E51"});
    return p;
}

Palette makeDark() {
    Palette p;
    p.dark = true;
    p.paper = "#15191C";
    p.surface = "#1C2124";
    p.raised = "#252B2F";
    p.ink = "#F3EFE6";
    p.quietInk = "#A4ABAC";
    p.hairline = "#2F3639";
    p.accent = "#58C4B4";
    p.onAccent = "#10201E";
    p.accentTint = "#20322F";
    p.reference = "#F3EFE6";
    p.traces = {QColor{"#2F8C84"}, QColor{"#FFB03A"}, QColor{"#C56BFF"}, QColor{"#8F7C2A"}};
    p.warning = "#F0C36A";
    p.badge = "#F3EFE6";
    p.onBadge = "#15191C";
    p.ramp = {QColor{"#1B2B2F"}, QColor{"#1F484C"}, QColor{"#276465"}, QColor{"#397F76"}, QColor{"#5B9A82"},
              QColor{"#7EB58D"}, QColor{"#A7CC9F"}, QColor{"#CCE1B6"}, QColor{"#F0F3D2"}};
    p.flagStyles = flagStyles({"#64726E", "#9DD3C7", "#A38A1D", "#8E6236", "#DEC66F", "#48989C", "#FF7ADE",
                               "#FF1986", "#C13DDE", "#E0FBD0"});
    return p;
}

/// One sRGB channel, 0 to 1, in linear light. Source: WCAG 2.2, relative luminance.
double linearLight(double channel) {
    return channel <= 0.04045 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4);
}

double luminance(const QColor& colour) {
    return 0.2126 * linearLight(colour.redF()) + 0.7152 * linearLight(colour.greenF()) +
           0.0722 * linearLight(colour.blueF());
}

}  // namespace

QColor mixed(const QColor& under, const QColor& over, double share) {
    const auto channel = [share](int a, int b) { return static_cast<int>(std::lround(a + (b - a) * share)); };
    return {channel(under.red(), over.red()), channel(under.green(), over.green()),
            channel(under.blue(), over.blue())};
}

const FlagStyle& Palette::flag(flags::FlagKind kind) const {
    return flagStyles[static_cast<std::size_t>(kind)];
}

QColor Palette::rampAt(double share) const {
    const double place = std::clamp(share, 0.0, 1.0) * static_cast<double>(ramp.size() - 1);
    const auto below = std::min(static_cast<std::size_t>(place), ramp.size() - 2);
    return mixed(ramp[below], ramp[below + 1], place - static_cast<double>(below));
}

const Palette& lightPalette() {
    static const Palette palette = makeLight();
    return palette;
}

const Palette& darkPalette() {
    static const Palette palette = makeDark();
    return palette;
}

QPalette toQPalette(const Palette& p) {
    QPalette q;
    q.setColor(QPalette::Window, p.surface);
    q.setColor(QPalette::WindowText, p.ink);
    q.setColor(QPalette::Base, p.paper);
    q.setColor(QPalette::AlternateBase, p.surface);
    q.setColor(QPalette::Text, p.ink);
    q.setColor(QPalette::PlaceholderText, p.quietInk);
    q.setColor(QPalette::Button, p.raised);
    q.setColor(QPalette::ButtonText, p.ink);
    q.setColor(QPalette::BrightText, p.onAccent);
    q.setColor(QPalette::Highlight, p.accent);
    q.setColor(QPalette::HighlightedText, p.onAccent);
    q.setColor(QPalette::Link, p.accent);
    q.setColor(QPalette::LinkVisited, p.accent);
    q.setColor(QPalette::ToolTipBase, p.badge);
    q.setColor(QPalette::ToolTipText, p.onBadge);
    q.setColor(QPalette::Light, mixed(p.raised, QColor{"#FFFFFF"}, p.dark ? 0.08 : 0.6));
    q.setColor(QPalette::Midlight, mixed(p.surface, p.hairline, 0.5));
    q.setColor(QPalette::Mid, p.hairline);
    q.setColor(QPalette::Dark, mixed(p.surface, p.ink, 0.3));
    q.setColor(QPalette::Shadow, mixed(p.surface, QColor{"#000000"}, 0.6));
    for (const auto role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText})
        q.setColor(QPalette::Disabled, role, mixed(p.surface, p.ink, 0.45));
    q.setColor(QPalette::Disabled, QPalette::Highlight, p.hairline);
    return q;
}

double contrastRatio(const QColor& a, const QColor& b) {
    const auto [darker, lighter] = std::minmax({luminance(a), luminance(b)});
    return (lighter + 0.05) / (darker + 0.05);
}

}  // namespace beatwitness::widgets

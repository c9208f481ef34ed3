#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/agreement/density_map.h"
#include "core/flags/flag.h"

/// What a figure shows, not how: panels with axes and marks. widgets/figures draws it, the same on screen, in
/// exports and in the write-up.
namespace beatwitness::report {

/// What a mark stands for; the theme gives it colour, hatch and dash.
struct Paint {
    enum class Role {
        Ink,        ///< text and neutral marks
        Quiet,      ///< what stands back
        Hairline,   ///< rules
        Reference,  ///< the reference trace
        Device,     ///< test device number `index`
        Guide,      ///< ratio guides and limits that somebody set
        Flag,       ///< a failure kind
        Accent,
    };
    Role role = Role::Ink;
    int index = 0;
    flags::FlagKind flag = flags::FlagKind::Dropout;

    [[nodiscard]] static Paint ink() { return {Role::Ink}; }
    [[nodiscard]] static Paint quiet() { return {Role::Quiet}; }
    [[nodiscard]] static Paint reference() { return {Role::Reference}; }
    [[nodiscard]] static Paint device(int index) { return {Role::Device, index}; }
    [[nodiscard]] static Paint guide() { return {Role::Guide}; }
    [[nodiscard]] static Paint of(flags::FlagKind kind) { return {Role::Flag, 0, kind}; }
};

enum class Dash { Solid, Dashed, Dotted, DashDotted };

/// A polyline with gaps. Invariants: x, y and joined have one length; x ascending.
struct Line {
    std::vector<double> x, y;
    std::vector<std::uint8_t> joined;  ///< 1 where joined to the point before; [0] is 0
    Paint paint;
    double width_pt = 0.9;
    Dash dash = Dash::Solid;
    std::string endLabel;  ///< beside its last point; empty: none
};

/// A straight line right across the panel: y = slope * x + shift, or, `upright`, x = shift.
struct Rule {
    double slope = 0.0, shift = 0.0;
    bool upright = false;
    Paint paint;
    Dash dash = Dash::Solid;
    double width_pt = 0.9;
    bool halo = false;  ///< a rim of paper, so that it reads on a map
    std::string label;  ///< at its end
};

/// A stretch of one axis over the whole of the other: tinted, and hatched where it is a flag's.
struct Zone {
    double from = 0.0, to = 0.0;
    bool alongX = true;  ///< from and to lie on the x axis
    Paint paint;
    std::string label;   ///< at its top
    bool coded = false;  ///< the flag kind's code stands for the label
};

/// A block in a lane: from `from` to `to` along x, around `row` on a category axis.
struct Block {
    double from = 0.0, to = 0.0, row = 0.0;
    double thickness = 0.7;  ///< in rows
    Paint paint;
    std::string label;
    bool hollow = false;  ///< outline and label only
    bool coded = false;   ///< the flag kind's code stands for the label
};

/// A density map; empty cells stay clear.
struct Cells {
    enum class Scale { Linear, Log, CubeRoot };
    agreement::DensityMap map;
    Scale scale = Scale::Log;
    double largest = 0.0;  ///< count at the end of the ramp, the same across compared panels; 0: of this map
    double yShift = 0.0;   ///< added to the map's second coordinate: errors are counted above an origin
};

/// Points of one device.
struct Points {
    std::vector<double> x, y;
    Paint paint;
    int shape = 0;  ///< as the device's mark: disc, square, triangle, diamond
    bool hollow = false;
};

/// A value with its interval at `row` of a category axis; without interval the mark alone.
struct IntervalMark {
    double row = 0.0, value = 0.0;
    std::optional<std::array<double, 2>> interval;
    Paint paint;
    int shape = 0;
    std::string label;  ///< at the right end
};

/// A curve with a band of uncertainty. Invariants: the four have one length.
struct Ribbon {
    std::vector<double> x, y, lower, upper;
    Paint paint;
};

/// Counts over equal steps of x, as steps filled to zero.
struct Histogram {
    double first = 0.0, width = 1.0;  ///< lower edge of the first step
    std::vector<double> heights;
    Paint paint;
    bool filled = true;
};

/// A word in a panel.
struct Word {
    double x = 0.0, y = 0.0;  ///< axis coordinates
    std::string text;
    Paint paint;
    enum class Anchor { Left, Centre, Right } anchor = Anchor::Left;
    bool strong = false;
};

using Mark = std::variant<Zone, Cells, Ribbon, Histogram, Block, Line, Rule, Points, IntervalMark, Word>;

struct Axis {
    enum class Kind {
        Number,
        SessionTime,
        Date,  ///< days since 1970, UTC
        Signed,
        Categories,
        Hidden
    };
    Kind kind = Kind::Number;
    std::string label;  ///< with its unit
    double lowest = 0.0, highest = 1.0;
    std::vector<std::string> categories;  ///< Kind::Categories: at 0, 1, …, the first at the top
    bool grid = true;
};

struct Panel {
    std::string title, subtitle;
    Axis x, y;
    std::vector<Mark> marks;  ///< the first undermost
    bool square = false;      ///< both axes to one scale, as a map needs
    double weight = 1.0;      ///< share of its row's width
};

struct PanelRow {
    std::vector<Panel> panels;
    double weight = 1.0;  ///< share of the figure's height
    /// Fixed height instead, in lines of text, for lanes.
    double lines = 0.0;
};

struct LegendEntry {
    std::string label;
    Paint paint;
    enum class Sample {
        None,  ///< a remark
        Stroke,
        Swatch,
        Shape,
        HollowShape,
        Ramp  ///< the map's colours from few to many
    } sample = Sample::Stroke;
    int shape = 0;
    Dash dash = Dash::Solid;
};

/// A number to be read across a room, for summary cards.
struct Statement {
    std::string label, value, note;
    Paint paint;
};

struct Scene {
    std::string title, subtitle;
    std::vector<PanelRow> rows;
    /// The panels are alike and read row by row: they stand in as many columns as the figure's shape asks
    /// for.
    bool flows = false;
    /// A square panel at the right of all rows, below them where the figure is tall.
    std::optional<Panel> beside;
    std::vector<LegendEntry> legend;
    std::vector<Statement> statements;  ///< of a card; then there are no rows
    std::string verdict;                ///< of a card
    std::string footnote;               ///< the caution and what it rests on, small, on the figure
    std::string caption;                ///< n, sessions, exclusions, limits: beside the figure, editable
    double aspect = 1.6;                ///< width over height where only the width is given
};

}  // namespace beatwitness::report

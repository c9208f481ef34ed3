#pragma once

#include <QColor>
#include <QImage>
#include <QRectF>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "core/trace/pairs.h"
#include "core/trace/session_trace.h"

class QPainter;

namespace beatwitness::widgets {

/// A polyline over session time with gaps, ready to be drawn.
///
/// Seconds and joins are shared with what they were made from; `owner` keeps that alive. Values are kept as
/// floats, a quarter of a thousandth of a beat at most from the number they show.
struct DrawnLine {
    std::shared_ptr<const void> owner;
    std::span<const double> seconds;
    std::span<const std::uint8_t> joined;  ///< 1 where a sample is joined to the one before it
    std::vector<float> values;
    QColor colour;
    double width = 1.0;  ///< logical pixels

    /// Lowest and highest value; {0, 0} where empty. Linear time.
    [[nodiscard]] std::pair<double, double> valueRange() const;
};

/// `owner` must own `trace`.
[[nodiscard]] DrawnLine lineOf(std::shared_ptr<const void> owner, const trace::SessionTrace& trace);
/// Test minus reference; seconds without a pair are gaps.
[[nodiscard]] DrawnLine errorLineOf(const trace::Pairs& pairs);

/// The part of a plane that a rectangle of pixels shows.
struct Viewport {
    QRectF rect;  ///< logical pixels
    double begin_s = 0.0, end_s = 1.0;
    double lowest = 0.0, highest = 1.0;

    friend bool operator==(const Viewport&, const Viewport&) = default;

    [[nodiscard]] double x(double seconds) const {
        return rect.left() + (seconds - begin_s) / (end_s - begin_s) * rect.width();
    }
    [[nodiscard]] double y(double value) const {
        return rect.bottom() - (value - lowest) / (highest - lowest) * rect.height();
    }
    [[nodiscard]] double seconds(double x) const {
        return begin_s + (x - rect.left()) / rect.width() * (end_s - begin_s);
    }
};

/// Draws polylines column by column of device pixels, because a stroked path wider than one pixel costs Qt up
/// to a second a frame for a day of seconds.
///
/// For each column the highest and lowest point of the line inside it is found (exactly, by walking its
/// segments), then the column is filled with antialiased ends: cost grows with samples in sight and inked
/// pixels, never with samples times width. Reuses its memory from frame to frame.
class LineImage {
public:
    enum class Quality {
        Fine,   ///< antialiased, every column of device pixels
        Coarse  ///< columns of logical pixels with hard edges: a frame of a movement
    };

    /// Draws `lines`, the first undermost, clipped to the viewport, at the device pixel ratio of the painter;
    /// all of them `width` wide where that is given.
    void draw(QPainter& painter, const Viewport& view, std::span<const DrawnLine> lines,
              std::optional<double> width = {}, Quality quality = Quality::Fine);

private:
    struct Extent {
        float top = 0.0F;
        float bottom = -1.0F;  ///< below top: nothing in this column
    };

    void clear(QSize size);
    void findExtents(const DrawnLine& line, const Viewport& device,
                     int across);  ///< columns `across` pixels wide
    void fillColumn(std::size_t column, QRgb colour, float radius);
    void fillCoarsely(QRgb colour, float radius, int across);

    QImage image_;
    int inkTop_ = 0, inkBottom_ = -1;  ///< rows that hold anything; only those are cleared and shown
    std::vector<Extent> extents_;
};

/// A LineImage of lines that stay while other things change: drawn anew only for another viewport or pixel
/// ratio.
class CachedLineImage {
public:
    /// Forgets the picture: the lines or their colours changed.
    void invalidate() { picture_ = {}; }
    void draw(QPainter& painter, const Viewport& view, std::span<const DrawnLine> lines, double width);

private:
    LineImage lines_;
    QImage picture_;
    Viewport view_;
};

}  // namespace beatwitness::widgets

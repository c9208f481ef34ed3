#include "widgets/plots/line_image.h"

#include <QPainter>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

namespace beatwitness::widgets {
namespace {

/// What errorLineOf() makes itself.
struct ErrorColumns {
    std::vector<double> seconds;
    std::vector<std::uint8_t> joined;
};

/// `share` of an opaque colour over a premultiplied pixel.
QRgb over(QRgb pixel, QRgb colour, float share) {
    const int alpha = static_cast<int>(share * 256.0F + 0.5F);
    const int rest = 256 - alpha;
    return qRgba((qRed(colour) * alpha + qRed(pixel) * rest) >> 8,
                 (qGreen(colour) * alpha + qGreen(pixel) * rest) >> 8,
                 (qBlue(colour) * alpha + qBlue(pixel) * rest) >> 8,
                 (255 * alpha + qAlpha(pixel) * rest) >> 8);
}

/// A vertical bar with soft ends: how much of pixel row `row` it covers.
struct Bar {
    float top = 0.0F, bottom = 0.0F;
    float softness = 1.0F;  ///< length of the ramp at either end, pixels, at least 1
    float weight = 0.0F;    ///< share of the pixel's width

    [[nodiscard]] float cover(float row) const {
        const float above = std::min((row + 1.0F - top) / softness, 1.0F);
        const float below = std::min((bottom - row) / softness, 1.0F);
        return std::max(0.0F, above + below - 1.0F) * weight;
    }
};

/// Steep stretches fade over this many more pixels at their ends, which hides the steps between columns.
constexpr float longestFade = 1.5F;

/// How much higher a line of this slope stands than it is wide. No more than at 45 degrees: steeper stretches
/// get their width from their neighbours, and a peak must not overshoot.
float slantOf(float slope) {
    return std::sqrt(1.0F + std::min(slope, 1.0F) * std::min(slope, 1.0F));
}

}  // namespace

std::pair<double, double> DrawnLine::valueRange() const {
    if (values.empty()) return {0.0, 0.0};
    const auto [lowest, highest] = std::ranges::minmax_element(values);
    return {*lowest, *highest};
}

DrawnLine lineOf(std::shared_ptr<const void> owner, const trace::SessionTrace& trace) {
    DrawnLine line;
    line.owner = std::move(owner);
    line.seconds = trace.seconds;
    line.joined = trace.joined;
    line.values.reserve(trace.rates.size());
    for (const Bpm rate : trace.rates)
        line.values.push_back(static_cast<float>(rate.value));
    return line;
}

DrawnLine errorLineOf(const trace::Pairs& pairs) {
    auto columns = std::make_shared<ErrorColumns>();
    DrawnLine line;
    columns->seconds.assign(pairs.seconds.begin(), pairs.seconds.end());
    columns->joined.assign(pairs.size(), 0);
    line.values.reserve(pairs.size());
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        columns->joined[i] = i > 0 && pairs.seconds[i] - pairs.seconds[i - 1] == 1;
        line.values.push_back(static_cast<float>(pairs.error(i).value));
    }
    line.seconds = columns->seconds;
    line.joined = columns->joined;
    line.owner = std::move(columns);
    return line;
}

void LineImage::findExtents(const DrawnLine& line, const Viewport& device, int across) {
    const int columns = (static_cast<int>(device.rect.width()) + across - 1) / across;
    extents_.assign(static_cast<std::size_t>(columns), Extent{});
    const auto extend = [this](int column, float a, float b) {
        auto& extent = extents_[static_cast<std::size_t>(column)];
        const float top = std::min(a, b), bottom = std::max(a, b);
        extent = extent.bottom < extent.top
                     ? Extent{top, bottom}
                     : Extent{std::min(extent.top, top), std::max(extent.bottom, bottom)};
    };
    const auto begin = std::ranges::lower_bound(line.seconds, device.begin_s) - line.seconds.begin();
    const auto end = std::ranges::upper_bound(line.seconds, device.end_s) - line.seconds.begin();
    const auto first = static_cast<std::size_t>(std::max<std::ptrdiff_t>(begin - 1, 0));
    const auto last = std::min(static_cast<std::size_t>(end) + 1, line.seconds.size());

    const double perSecond = device.rect.width() / across / (device.end_s - device.begin_s);
    const double perUnit = device.rect.height() / (device.highest - device.lowest);
    double fromX = 0.0, fromY = 0.0;
    for (std::size_t i = first; i < last; ++i) {
        const double x = (line.seconds[i] - device.begin_s) * perSecond;
        const double y = (device.highest - static_cast<double>(line.values[i])) * perUnit;
        const bool inSight = x >= 0 && x < columns;
        const auto here = static_cast<float>(y);
        if (i == first || !line.joined[i]) {
            // Alone, or the first of a run: a dot.
            if (inSight) extend(static_cast<int>(x), here, here);
        } else if (inSight && fromX >= 0 && static_cast<int>(fromX) == static_cast<int>(x)) {
            extend(static_cast<int>(x), here, here);  // its other end is in there already
        } else if (x > 0 && fromX < columns) {
            const double slope = (y - fromY) / (x - fromX);
            const int from = static_cast<int>(std::max(fromX, 0.0));
            const int to = static_cast<int>(std::min(x, columns - 1.0));
            for (int column = from; column <= to; ++column) {
                const double enters = fromY + (std::max<double>(column, fromX) - fromX) * slope;
                const double leaves = fromY + (std::min<double>(column + 1, x) - fromX) * slope;
                extend(column, static_cast<float>(enters), static_cast<float>(leaves));
            }
        }
        fromX = x;
        fromY = y;
    }
}

void LineImage::fillColumn(std::size_t column, QRgb colour, float radius) {
    const Extent own = extents_[column];
    const bool hasOwn = own.bottom >= own.top;
    const float ownFade = std::min(own.bottom - own.top, longestFade);
    const float ownReach = radius * slantOf(own.bottom - own.top);
    // Rows that the column's own bar fills wholly.
    const int fullFirst = hasOwn ? static_cast<int>(std::ceil(own.top - ownReach + ownFade)) : 0;
    const int fullLast = hasOwn ? static_cast<int>(std::floor(own.bottom + ownReach - ownFade)) - 1 : -1;

    // The pen is a disc: a neighbour's bar reaches over with what the disc covers at that distance.
    std::array<Bar, 17> bars{};
    std::size_t count = 0;
    float top = 1e9F, bottom = -1e9F;
    const int reach = std::min(8, static_cast<int>(std::ceil(radius - 0.45F)));
    for (int step = -reach; step <= reach; ++step) {
        const auto neighbour = static_cast<std::ptrdiff_t>(column) + step;
        if (neighbour < 0 || neighbour >= std::ssize(extents_)) continue;
        const Extent extent = extents_[static_cast<std::size_t>(neighbour)];
        if (extent.bottom < extent.top) continue;
        const float distance = std::abs(static_cast<float>(step));
        const float weight = step == 0 ? 1.0F : std::clamp(radius + 0.5F - distance, 0.0F, 1.0F);
        const float off = step == 0 ? 0.0F : distance - 0.5F + weight / 2;
        const float half = step == 0 ? ownReach : std::sqrt(std::max(0.0F, radius * radius - off * off));
        const float fade = std::min(extent.bottom - extent.top, longestFade);
        const Bar bar{extent.top - half, extent.bottom + half, 1.0F + fade, weight};
        const bool hidden =
            bar.top >= static_cast<float>(fullFirst) && bar.bottom <= static_cast<float>(fullLast + 1);
        if (step != 0 && hidden) continue;
        top = std::min(top, bar.top);
        bottom = std::max(bottom, bar.bottom);
        bars[count++] = bar;
    }
    if (count == 0) return;
    const int firstRow = std::max(0, static_cast<int>(std::floor(top)));
    const int lastRow = std::min(image_.height() - 1, static_cast<int>(std::floor(bottom)));
    if (firstRow > lastRow) return;
    inkTop_ = std::min(inkTop_, firstRow);
    inkBottom_ = std::max(inkBottom_, lastRow);
    const auto stride = image_.bytesPerLine() / static_cast<qsizetype>(sizeof(QRgb));
    QRgb* pixels = reinterpret_cast<QRgb*>(image_.bits()) + static_cast<qsizetype>(column);
    for (int row = firstRow; row <= lastRow; ++row) {
        if (row >= fullFirst && row <= fullLast) {
            pixels[row * stride] = colour;
            continue;
        }
        float cover = 0.0F;
        for (std::size_t i = 0; i < count; ++i)
            cover = std::max(cover, bars[i].cover(static_cast<float>(row)));
        QRgb& pixel = pixels[row * stride];
        pixel = over(pixel, colour, cover);
    }
}

void LineImage::fillCoarsely(QRgb colour, float radius, int across) {
    const auto stride = image_.bytesPerLine() / static_cast<qsizetype>(sizeof(QRgb));
    auto* const pixels = reinterpret_cast<QRgb*>(image_.bits());
    for (std::size_t column = 0; column < extents_.size(); ++column) {
        const Extent extent = extents_[column];
        if (extent.bottom < extent.top) continue;
        const int firstRow = std::max(0, static_cast<int>(std::lround(extent.top - radius)));
        const int end = std::min(image_.height(), static_cast<int>(std::lround(extent.bottom + radius)));
        if (firstRow >= end) continue;
        inkTop_ = std::min(inkTop_, firstRow);
        inkBottom_ = std::max(inkBottom_, end - 1);
        const int left = static_cast<int>(column) * across;
        const int width = std::min(across, image_.width() - left);
        QRgb* pixel = pixels + firstRow * stride + left;
        if (width == 2) {
            // The usual case, in one store a row: a dense view spends most of its frame here.
            const std::array two{colour, colour};
            for (int row = firstRow; row < end; ++row, pixel += stride)
                std::memcpy(pixel, two.data(), sizeof two);
        } else {
            for (int row = firstRow; row < end; ++row, pixel += stride)
                std::fill_n(pixel, width, colour);
        }
    }
}

void LineImage::clear(QSize size) {
    image_.setDevicePixelRatio(1.0);
    if (image_.size() != size) {
        image_ = QImage(size, QImage::Format_ARGB32_Premultiplied);
        image_.fill(Qt::transparent);
    } else if (inkBottom_ >= inkTop_) {
        const auto bytes = static_cast<std::size_t>((inkBottom_ - inkTop_ + 1) * image_.bytesPerLine());
        std::memset(image_.scanLine(inkTop_), 0, bytes);
    }
    inkTop_ = size.height();
    inkBottom_ = -1;
}

void LineImage::draw(QPainter& painter, const Viewport& view, std::span<const DrawnLine> lines,
                     std::optional<double> width, Quality quality) {
    const double ratio = painter.device()->devicePixelRatioF();
    // Whole device pixels, so that the image is copied and never resampled, at fractional ratios too.
    const QPoint origin{qRound(view.rect.left() * ratio), qRound(view.rect.top() * ratio)};
    const QPoint corner{qRound(view.rect.right() * ratio), qRound(view.rect.bottom() * ratio)};
    const QSize size{corner.x() - origin.x(), corner.y() - origin.y()};
    if (size.isEmpty() || !(view.end_s > view.begin_s) || !(view.highest > view.lowest)) return;
    clear(size);

    Viewport device = view;
    device.rect = QRectF(QPointF(0, 0), QSizeF(size));
    for (const DrawnLine& line : lines) {
        if (line.values.empty()) continue;
        const QRgb colour = line.colour.rgb() | 0xFF000000U;
        const float radius = std::max(0.5F, static_cast<float>(width.value_or(line.width) * ratio / 2));
        if (quality == Quality::Coarse) {
            const int across = std::max(1, qRound(ratio));
            findExtents(line, device, across);
            fillCoarsely(colour, radius, across);
            continue;
        }
        findExtents(line, device, 1);
        for (std::size_t column = 0; column < extents_.size(); ++column)
            fillColumn(column, colour, radius);
    }
    if (inkBottom_ < inkTop_) return;
    image_.setDevicePixelRatio(ratio);
    painter.drawImage(QPointF(origin.x(), origin.y() + inkTop_) / ratio, image_,
                      QRectF(0, inkTop_, size.width(), inkBottom_ - inkTop_ + 1));
}

void CachedLineImage::draw(QPainter& painter, const Viewport& view, std::span<const DrawnLine> lines,
                           double width) {
    const double ratio = painter.device()->devicePixelRatioF();
    const QPointF origin(std::floor(view.rect.left()), std::floor(view.rect.top()));
    if (picture_.isNull() || !(view_ == view) || picture_.devicePixelRatio() != ratio) {
        const QSizeF size(view.rect.width() + 2, view.rect.height() + 2);
        picture_ = QImage((size * ratio).toSize(), QImage::Format_ARGB32_Premultiplied);
        picture_.setDevicePixelRatio(ratio);
        picture_.fill(Qt::transparent);
        view_ = view;
        Viewport moved = view;
        moved.rect.translate(-origin);
        QPainter onto(&picture_);
        lines_.draw(onto, moved, lines, width);
    }
    painter.drawImage(origin, picture_);
}

}  // namespace beatwitness::widgets

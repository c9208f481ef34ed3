#include "widgets/plots/agreement_map_canvas.h"

#include <algorithm>
#include <cmath>

#include "widgets/format/number_text.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

/// A map never zooms in further than this many bpm along either axis.
constexpr double leastSpan_bpm = 40.0;
/// Ink of the seconds that a filter leaves out: dimmed, never hidden.
constexpr double dimShare = 0.16;

/// First and last index that counts something; nothing where none does.
std::optional<std::pair<int, int>> occupied(const std::vector<std::uint64_t>& totals) {
    const auto some = [](std::uint64_t n) { return n > 0; };
    const auto first = std::ranges::find_if(totals, some);
    if (first == totals.end()) return std::nullopt;
    const auto last = std::find_if(totals.rbegin(), totals.rend(), some);
    return std::pair{static_cast<int>(first - totals.begin()), static_cast<int>(totals.rend() - last) - 1};
}

}  // namespace

AgreementMapCanvas::AgreementMapCanvas(QWidget* parent)
    : PlotCanvas(parent), axes_(new QCPAxisRect(this)), ticker_(new BpmTicker(BpmTicker::Sign::Plain)) {
    axes_->setAutoMargins(QCP::msNone);
    plotLayout()->addElement(0, 0, axes_);
    for (const auto side : {QCPAxis::atTop, QCPAxis::atRight})
        axes_->axis(side)->setVisible(false);
    for (const auto side : {QCPAxis::atBottom, QCPAxis::atLeft}) {
        axes_->axis(side)->setVisible(true);
        axes_->axis(side)->setTicker(ticker_);
    }
    const auto main = QStringLiteral("main"), over = QStringLiteral("overlay");
    new Painted(this, main, [this](QCPPainter& painter) { drawCells(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawGuides(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawMargins(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawColourBar(painter); });
    new Painted(this, over, [this](QCPPainter& painter) { drawTitles(painter); });
    restyle();
}

void AgreementMapCanvas::setPairs(std::shared_ptr<const analysis::SessionAnalysis> session, int test,
                                  bool aligned) {
    session_ = std::move(session);
    pairs_ = nullptr;
    parts_.clear();
    litPairs_.reset();
    test_ = test;
    cell_.reset();
    ring_.reset();
    if (session_ && test >= 0 && test < static_cast<int>(session_->tests.size())) {
        pairs_ = &shownView(session_->tests[static_cast<std::size_t>(test)], aligned).pairs;
        testName_ = testName(*session_, test);
    }
    count();
}

void AgreementMapCanvas::setPooled(std::vector<MapPart> parts, const QString& device, int colour) {
    session_.reset();
    pairs_ = nullptr;
    litPairs_.reset();
    cell_.reset();
    ring_.reset();
    parts_ = std::move(parts);
    testName_ = device;
    test_ = colour;
    count();
}

void AgreementMapCanvas::setCountsSessions(bool sessions) {
    if (countsSessions_ == sessions) return;
    countsSessions_ = sessions;
    count();
}

void AgreementMapCanvas::setCellWidth(int bpm) {
    cellWidth_ = bpm;
    cell_.reset();
    count();
}

void AgreementMapCanvas::setScale(ColourScale scale) {
    scale_ = scale;
    recolour();
    redraw();
}

void AgreementMapCanvas::setCursorPair(std::optional<std::pair<double, double>> pair) {
    if (ring_ == pair) return;
    ring_ = pair;
    redrawCursor(rect());
}

void AgreementMapCanvas::setLit(std::shared_ptr<const trace::Pairs> pairs) {
    if (!pairs && !litPairs_) return;
    litPairs_ = std::move(pairs);
    lit_ = litPairs_ ? agreement::densityMap(*litPairs_, cellWidth_) : agreement::DensityMap{};
    recolour();
    redraw();
}

void AgreementMapCanvas::setArea(std::optional<agreement::RateBox> box,
                                 std::optional<agreement::GuideBand> band) {
    if (box == box_ && band == band_) return;
    box_ = box;
    band_ = band;
    redrawCursor(rect());
}

agreement::RateBox AgreementMapCanvas::boxOf(Cell a, Cell b) const {
    return {map_.edge(std::min(a.first, b.first)), map_.edge(std::max(a.first, b.first) + 1),
            map_.edge(std::min(a.second, b.second)), map_.edge(std::max(a.second, b.second) + 1)};
}

void AgreementMapCanvas::setCell(std::optional<Cell> cell) {
    cell_ = cell;
    redrawCursor(rect());
}

void AgreementMapCanvas::countParts() {
    std::vector<Bpm> reference, test;
    for (const auto& part : parts_) {
        reference.clear();
        test.clear();
        for (std::size_t i = 0; i < part->size(); ++i)
            if (part->paired[i]) {
                reference.push_back({part->reference[i]});
                test.push_back({part->test[i]});
            }
        auto one = agreement::densityMap(reference, test, cellWidth_);
        seconds_ += one.pairs;
        if (map_.counts.empty()) {
            map_ = one;
            map_.counts.assign(one.counts.size(), 0);
        }
        for (std::size_t i = 0; i < one.counts.size(); ++i)
            map_.counts[i] += countsSessions_ ? std::min(1U, one.counts[i]) : one.counts[i];
    }
    map_.pairs = 0;
    map_.largest = 0;
    for (const auto n : map_.counts) {
        map_.pairs += n;
        map_.largest = std::max(map_.largest, n);
    }
}

void AgreementMapCanvas::count() {
    map_ = pairs_ ? agreement::densityMap(*pairs_, cellWidth_) : agreement::DensityMap{};
    seconds_ = map_.pairs;
    if (!parts_.empty()) countParts();
    lit_ = litPairs_ ? agreement::densityMap(*litPairs_, cellWidth_) : agreement::DensityMap{};
    referenceTotals_.assign(static_cast<std::size_t>(map_.cells), 0);
    testTotals_.assign(static_cast<std::size_t>(map_.cells), 0);
    for (int t = 0; t < map_.cells; ++t)
        for (int r = 0; r < map_.cells; ++r) {
            referenceTotals_[static_cast<std::size_t>(r)] += map_.at(r, t);
            testTotals_[static_cast<std::size_t>(t)] += map_.at(r, t);
        }
    const auto reference = occupied(referenceTotals_), test = occupied(testTotals_);
    if (reference && test) {
        const double least = map_.edge(std::min(reference->first, test->first));
        const double most = map_.edge(std::max(reference->second, test->second) + 1);
        const double missing = std::max(0.0, leastSpan_bpm - (most - least)) / 2;
        lowest_ = std::floor((least - missing - 2) / 5) * 5;
        highest_ = std::ceil((most + missing + 2) / 5) * 5;
    }
    recolour();
    place();
}

double AgreementMapCanvas::shareOf(std::uint32_t seconds) const {
    if (map_.largest <= 1) return 1.0;
    switch (scale_) {
        case ColourScale::Logarithmic:
            return std::log(seconds) / std::log(map_.largest);
        case ColourScale::CubeRoot:
            return (std::cbrt(seconds) - 1.0) / (std::cbrt(map_.largest) - 1.0);
        case ColourScale::Linear:
            break;
    }
    return (seconds - 1.0) / (map_.largest - 1.0);
}

void AgreementMapCanvas::recolour() {
    image_ = QImage(map_.cells, map_.cells, QImage::Format_ARGB32_Premultiplied);
    image_.fill(Qt::transparent);
    const Palette& palette = currentPalette();
    const auto colourOf = [&](std::uint32_t seconds, int r, int t) {
        if (!litPairs_) return palette.rampAt(shareOf(seconds)).rgb();
        const auto lit = lit_.at(r, t);
        if (lit > 0) return palette.rampAt(shareOf(lit)).rgb();
        return mixed(palette.paper, palette.quietInk, dimShare).rgb();
    };
    for (int t = 0; t < map_.cells; ++t) {
        auto* line = reinterpret_cast<QRgb*>(image_.scanLine(map_.cells - 1 - t));
        for (int r = 0; r < map_.cells; ++r)
            if (const auto seconds = map_.at(r, t)) line[r] = colourOf(seconds, r, t);
    }
}

int AgreementMapCanvas::histogramDepth() {
    return 2 * QFontMetrics(smallFont()).height();
}

int AgreementMapCanvas::guideLabelWidth() {
    return QFontMetrics(strongFont()).horizontalAdvance(QStringLiteral("1:2")) + 12;
}

void AgreementMapCanvas::place() {
    const QFontMetrics metrics(smallFont());
    const int line = metrics.height();
    const int ticks = metrics.horizontalAdvance(numberText(200, 0)) + 8;
    const int left = ticks + line + 6, top = histogramDepth() + 10;
    const int titles = 2 * line + 14;    // ticks and title
    const int barBelow = 14 + line + 8;  // colour bar and its labels
    const int barBeside = barGap + metrics.averageCharWidth() * 16;
    const int right = guideLabelWidth() + histogramDepth() + 6;
    const auto sideWith = [&](int atRight, int below) {
        return std::max(40, std::min(width() - left - atRight, height() - top - below));
    };
    const int beside = sideWith(right + barBeside, titles), under = sideWith(right, titles + barBelow);
    barBeside_ = beside > under;  // wherever the map gets larger by it
    const int side = std::max(beside, under), atRight = right + (barBeside_ ? barBeside : 0),
              bottom = titles + (barBeside_ ? 0 : barBelow);
    // In the middle where the widget is wider than the map, under the top where it is higher.
    const int spareX = std::max(0, width() - left - atRight - side),
              spareY = std::max(0, height() - top - bottom - side);
    axes_->setMargins(QMargins(left + spareX / 2, top, atRight + spareX - spareX / 2, bottom + spareY));
    plotLayout()->setOuterRect(viewport());
    plotLayout()->update(QCPLayoutElement::upLayout);
    ticker_->setRoom(side, metrics.horizontalAdvance(numberText(200, 0)) * 2.0);
    for (const auto axisSide : {QCPAxis::atBottom, QCPAxis::atLeft})
        axes_->axis(axisSide)->setRange(lowest_, highest_);
    redraw();
}

void AgreementMapCanvas::restyle() {
    setBackground(QBrush(currentPalette().paper));
    styleAxisRect(*axes_);
    // Grid lines would be taken for guides.
    for (auto* axis : axes_->axes())
        axis->grid()->setVisible(false);
    recolour();
    place();
}

void AgreementMapCanvas::resizeEvent(QResizeEvent* event) {
    PlotCanvas::resizeEvent(event);
    place();
}

QPointF AgreementMapCanvas::pixel(double reference_bpm, double test_bpm) const {
    const QRectF rect = mapRect();
    const double scale = rect.width() / (highest_ - lowest_);
    return {rect.left() + (reference_bpm - lowest_) * scale, rect.bottom() - (test_bpm - lowest_) * scale};
}

QRectF AgreementMapCanvas::cellRect(Cell cell) const {
    return QRectF(pixel(map_.edge(cell.first), map_.edge(cell.second + 1)),
                  pixel(map_.edge(cell.first + 1), map_.edge(cell.second)));
}

std::optional<AgreementMapCanvas::Cell> AgreementMapCanvas::cellAt(QPointF position) const {
    const QRectF rect = mapRect();
    if (map_.pairs == 0 || !rect.contains(position)) return std::nullopt;
    const double perPixel = (highest_ - lowest_) / rect.width();
    const double reference = lowest_ + (position.x() - rect.left()) * perPixel;
    const double test = lowest_ + (rect.bottom() - position.y()) * perPixel;
    return inSight({static_cast<int>(std::floor((reference - map_.edge(0)) / map_.cellWidth_bpm)),
                    static_cast<int>(std::floor((test - map_.edge(0)) / map_.cellWidth_bpm))});
}

AgreementMapCanvas::Cell AgreementMapCanvas::inSight(Cell cell) const {
    const auto cellOf = [this](double bpm) {
        return static_cast<int>(std::floor((bpm - map_.edge(0)) / map_.cellWidth_bpm));
    };
    const int first = std::max(0, cellOf(lowest_)), last = std::min(map_.cells - 1, cellOf(highest_ - 1e-9));
    return {std::clamp(cell.first, first, last), std::clamp(cell.second, first, last)};
}

std::optional<AgreementMapCanvas::Cell> AgreementMapCanvas::fullestCell() const {
    if (map_.pairs == 0) return std::nullopt;
    const auto at = std::ranges::max_element(map_.counts) - map_.counts.begin();
    return Cell{static_cast<int>(at % map_.cells), static_cast<int>(at / map_.cells)};
}

QString AgreementMapCanvas::countedText(std::uint32_t count) const {
    if (!countsSessions_ || parts_.empty()) return secondsText(count);
    return count == 1 ? tr("1 session") : tr("%1 sessions").arg(countText(count));
}

QString AgreementMapCanvas::textOf(Cell cell) const {
    const auto rates = [this](int index) {
        const int first = map_.lowest_bpm + index * map_.cellWidth_bpm, last = first + map_.cellWidth_bpm - 1;
        return first == last ? numberText(first, 0)
                             : tr("%1 to %2").arg(numberText(first, 0), numberText(last, 0));
    };
    const auto seconds = map_.at(cell.first, cell.second);
    if (countsSessions_ && !parts_.empty())
        return tr("reference %1, %2 %3 bpm: %4 of %5 sessions")
            .arg(rates(cell.first), testName_, rates(cell.second), countText(seconds),
                 countText(parts_.size()));
    const double share_pct = 100.0 * seconds / static_cast<double>(map_.pairs);
    return tr("reference %1, %2 %3 bpm: %4, %5")
        .arg(rates(cell.first), testName_, rates(cell.second), secondsText(seconds),
             percentText(Percent{share_pct}, share_pct < 1 ? 2 : 1));
}

}  // namespace beatwitness::widgets

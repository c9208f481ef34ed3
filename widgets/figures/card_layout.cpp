#include "widgets/figures/card_layout.h"

#include <QFontMetricsF>
#include <algorithm>

#include "widgets/figures/figure_text.h"

namespace beatwitness::widgets {
namespace {

constexpr double tallShare = 0.75;  ///< of the width: from here on statements stand below each other
constexpr double columnGap = 12.0, statementGap = 10.0;
constexpr double aboveValue = 3.0, aboveMark = 5.0, mark_pt = 2.0, aboveNote = 4.0;
constexpr double markWidth_pt = 26.0;
constexpr int smallestValue = 12, largestValue = 46;
constexpr int mostLabelLines = 2, mostNoteLines = 4, mostVerdictLines = 3;
constexpr double mostValueShare = 0.88;  ///< of a column: numbers side by side must not run into each other
constexpr double verdictGap = 8.0;

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

QFont valueFont(int size) {
    QFont font = figureFont(TextSize::Statement, true);
    font.setPixelSize(size);
    return font;
}

/// The words of all statements in a column `width` wide.
struct Words {
    std::vector<QStringList> labels, notes;
    qsizetype labelLines = 0, noteLines = 0;
};

Words wordsOf(const report::Scene& scene, double width) {
    Words words;
    for (const auto& statement : scene.statements) {
        words.labels.push_back(
            wrapped(qt(statement.label), figureFont(TextSize::Plain), width, mostLabelLines));
        words.notes.push_back(wrapped(qt(statement.note), figureFont(TextSize::Small), width, mostNoteLines));
        words.labelLines = std::max(words.labelLines, words.labels.back().size());
        words.noteLines = std::max(words.noteLines, words.notes.back().size());
    }
    return words;
}

double heightOf(const Words& words, const QFont& value) {
    return static_cast<double>(words.labelLines) * lineHeight(figureFont(TextSize::Plain)) + aboveValue +
           QFontMetricsF(value).ascent() + aboveMark + mark_pt + aboveNote +
           static_cast<double>(words.noteLines) * lineHeight(figureFont(TextSize::Small));
}

/// The largest in which every value is at most `width` wide and a statement at most `height` high.
QFont fittingValue(const report::Scene& scene, const Words& words, double width, double height) {
    int size = largestValue;
    const auto fits = [&](const QFont& font) {
        const QFontMetricsF metrics(font);
        return heightOf(words, font) <= height &&
               std::ranges::all_of(scene.statements, [&](const report::Statement& statement) {
                   return metrics.horizontalAdvance(qt(statement.value)) <= mostValueShare * width;
               });
    };
    while (size > smallestValue && !fits(valueFont(size)))
        --size;
    return valueFont(size);
}

PlacedStatement placed(const Words& words, std::size_t i, const QRectF& box, const QFont& value) {
    const double plain = lineHeight(figureFont(TextSize::Plain));
    PlacedStatement statement;
    statement.label = words.labels[i];
    statement.note = words.notes[i];
    const double labels = static_cast<double>(words.labelLines) * plain;
    // Labels stand on their number, however many lines they take.
    const double own = static_cast<double>(statement.label.size()) * plain;
    statement.labelBox = QRectF(box.left(), box.top() + labels - own, box.width(), own);
    const double baseline = box.top() + labels + aboveValue + QFontMetricsF(value).ascent();
    statement.value = QPointF(box.left(), baseline);
    statement.mark = QRectF(box.left(), baseline + aboveMark, std::min(markWidth_pt, box.width()), mark_pt);
    statement.noteBox =
        QRectF(box.left(), statement.mark.bottom() + aboveNote, box.width(),
               static_cast<double>(statement.note.size()) * lineHeight(figureFont(TextSize::Small)));
    return statement;
}

QStringList verdictLines(const report::Scene& scene, double width) {
    return wrapped(qt(scene.verdict), figureFont(TextSize::Verdict, true), width, mostVerdictLines);
}

double verdictHeight(const QStringList& lines) {
    return lines.isEmpty()
               ? 0.0
               : static_cast<double>(lines.size()) * lineHeight(figureFont(TextSize::Verdict, true)) +
                     verdictGap;
}

double columnWidth(const report::Scene& scene, double width, bool tall) {
    const auto count = static_cast<double>(scene.statements.size());
    return tall ? width : (width - columnGap * (count - 1)) / count;
}

}  // namespace

CardLayout layOutCard(const report::Scene& scene, const QRectF& body) {
    CardLayout card;
    card.verdict = verdictLines(scene, body.width());
    const double foot = verdictHeight(card.verdict);
    const bool tall = body.height() > tallShare * body.width();
    const auto count = static_cast<double>(std::max<std::size_t>(1, scene.statements.size()));
    const double width = columnWidth(scene, body.width(), tall);
    const double height =
        tall ? (body.height() - foot - statementGap * (count - 1)) / count : body.height() - foot;
    const auto words = wordsOf(scene, width);
    card.value = fittingValue(scene, words, width, height);
    const double used = heightOf(words, card.value);
    // A little above the middle, where a card's eye is.
    const double top = tall ? body.top() : body.top() + std::max(0.0, (height - used) * 0.4);
    const double step = tall ? std::min(height, used * 1.25) + statementGap : 0.0;
    for (std::size_t i = 0; i < scene.statements.size(); ++i) {
        const auto at = static_cast<double>(i);
        const QRectF box = tall ? QRectF(body.left(), top + at * step, width, used)
                                : QRectF(body.left() + at * (width + columnGap), top, width, used);
        card.statements.push_back(placed(words, i, box, card.value));
    }
    card.verdictBox = QRectF(body.left(), body.bottom() - foot + verdictGap, body.width(), foot);
    return card;
}

double leastCard(const report::Scene& scene, double width) {
    const double column = columnWidth(scene, width, false);
    const auto words = wordsOf(scene, column);
    const QFont value = fittingValue(scene, words, column, 1e5);
    return heightOf(words, value) + verdictHeight(verdictLines(scene, width)) + statementGap;
}

}  // namespace beatwitness::widgets

#include "app/pages/filter_bar.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QToolButton>

#include "app/document/document.h"
#include "app/document/selection.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

FilterBar::FilterBar(Document& document, QWidget* parent)
    : QWidget(parent), document_(document), words_(makeStrong({}, this)), numbers_(makeBody({}, this)) {
    setObjectName(QStringLiteral("filterBar"));
    setAccessibleName(tr("Filter"));
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(20, 3, 20, 3);
    row->setSpacing(10);
    for (auto* label : {words_, numbers_}) {
        label->setWordWrap(false);
        label->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
    }
    row->addWidget(words_, 2);
    row->addWidget(numbers_, 5);
    const auto button = [&](const QString& text, const QString& name, const QString& tip) {
        auto* made = new QToolButton(this);
        made->setText(text);
        made->setAccessibleName(name);
        made->setToolTip(tip);
        made->setMinimumSize(28, 26);
        made->setFocusPolicy(Qt::StrongFocus);
        row->addWidget(made);
        return made;
    };
    connect(button(QStringLiteral("\u2039"), tr("Previous stretch"), tr("Previous stretch (Shift+X)")),
            &QToolButton::clicked, this, [this] { emit stepped(-1); });
    connect(button(QStringLiteral("\u203A"), tr("Next stretch"), tr("Next stretch (X)")),
            &QToolButton::clicked, this, [this] { emit stepped(1); });
    connect(button(tr("Clear"), tr("Clear the filter"), tr("Show everything again (Esc)")),
            &QToolButton::clicked, &document_.selection(), &Selection::clear);
    connect(&document_.selection(), &Selection::changed, this, &FilterBar::refresh);
    hide();
}

void FilterBar::refresh() {
    const auto& selection = document_.selection();
    setVisible(selection.isActive());
    if (!selection.isActive()) return;
    const auto& chosen = selection.selected();
    const auto whole = shownView(document_.test(), document_.showsAligned()).pairs.size();
    const auto count = chosen.pairs->size();
    words_->setText(tr("Only %1").arg(selection.words()));
    const std::optional<Percent> share =
        whole > 0 ? std::optional{Percent{100.0 * static_cast<double>(count) / static_cast<double>(whole)}}
                  : std::nullopt;
    QString text = tr("%1 of %2 s (%3)").arg(countText(count), countText(whole), percentText(share, 1));
    if (count > 0)
        text += tr(" \u00B7 bias %1 \u00B7 MAE %2 \u00B7 limits %3 to %4 \u00B7 within 10 %: %5")
                    .arg(errorText(chosen.numbers.bias, 2), spreadText(chosen.numbers.mae, 2),
                         signedText(chosen.numbers.loaLower ? std::optional{chosen.numbers.loaLower->value}
                                                            : std::nullopt,
                                    1),
                         errorText(chosen.numbers.loaUpper, 1), percentText(chosen.numbers.within10Pct, 1));
    numbers_->setText(text);
    for (auto* label : {words_, numbers_})
        label->setToolTip(label->text());
    setAccessibleDescription(words_->text() + QStringLiteral(": ") + text);
}

QString FilterBar::text() const {
    return words_->text() + QStringLiteral(": ") + numbers_->text();
}

void FilterBar::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.fillRect(rect(), currentPalette().accentTint);
}

}  // namespace beatwitness::app

#include "widgets/inputs/offset_field.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QStringList>
#include <cmath>

#include "widgets/inputs/labels.h"

namespace beatwitness::widgets {
namespace {

/// A clock that was never set is years off, but then the file says no date; more than this is a slip of the
/// finger.
constexpr double furthest_s = 400.0 * 86400.0;

std::optional<double> unsignedNumber(const QString& text) {
    if (text.isEmpty() || !(text[0].isDigit() || text[0] == QLatin1Char('.'))) return std::nullopt;
    bool good = false;
    const double number = text.toDouble(&good);  // always the C locale
    if (!good || !std::isfinite(number)) return std::nullopt;
    return number;
}

}  // namespace

std::optional<Seconds> parseOffset(const QString& typed) {
    QString text = typed.trimmed();
    text.replace(QChar(0x2212), QLatin1Char('-')).replace(QLatin1Char(','), QLatin1Char('.'));
    if (text.endsWith(QLatin1Char('s'), Qt::CaseInsensitive)) text = text.chopped(1).trimmed();
    double sign = 1.0;
    if (text.startsWith(QLatin1Char('-')) || text.startsWith(QLatin1Char('+'))) {
        if (text[0] == QLatin1Char('-')) sign = -1.0;
        text = text.mid(1).trimmed();
    }
    const QStringList parts = text.split(QLatin1Char(':'));
    if (parts.size() > 3) return std::nullopt;
    double seconds = 0.0;
    for (qsizetype i = 0; i < parts.size(); ++i) {
        const auto number = unsignedNumber(parts[i]);
        const bool last = i + 1 == parts.size();
        if (!number || (!last && *number != std::floor(*number)) || (i > 0 && *number >= 60.0))
            return std::nullopt;
        seconds = seconds * 60.0 + *number;
    }
    if (seconds > furthest_s) return std::nullopt;
    return Seconds{sign * seconds};
}

OffsetField::OffsetField(QWidget* parent)
    : QWidget(parent),
      edit_(new QLineEdit(this)),
      apply_(new QPushButton(tr("Apply"), this)),
      hint_(makeCaption({}, this)) {
    edit_->setObjectName(QStringLiteral("offsetEdit"));
    edit_->setAccessibleName(tr("Clock offset in seconds, added to the test clock"));
    edit_->setPlaceholderText(tr("+3.4 or -1:05"));
    edit_->setMinimumHeight(28);
    edit_->setMinimumWidth(fontMetrics().averageCharWidth() * 10);
    apply_->setObjectName(QStringLiteral("applyOffset"));
    apply_->setMinimumHeight(28);
    apply_->setAccessibleName(tr("Apply the typed offset"));
    auto* name = new QLabel(tr("Offset, s"), this);
    name->setBuddy(edit_);
    auto* row = new QHBoxLayout;
    row->setSpacing(8);
    row->addWidget(name);
    row->addWidget(edit_, 1);
    row->addWidget(apply_);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(2);
    column->addLayout(row);
    column->addWidget(hint_);
    connect(edit_, &QLineEdit::textChanged, this, &OffsetField::judge);
    connect(edit_, &QLineEdit::returnPressed, this, &OffsetField::apply);
    connect(apply_, &QPushButton::clicked, this, &OffsetField::apply);
    judge({});
}

void OffsetField::setOffset(std::optional<Seconds> offset) {
    edit_->setText(offset ? QString::number(offset->value, 'f', 2) : QString());
}

void OffsetField::takeFocus() {
    edit_->setFocus(Qt::ShortcutFocusReason);
    edit_->selectAll();
}

void OffsetField::judge(const QString& text) {
    const bool good = parseOffset(text).has_value();
    apply_->setEnabled(good);
    hint_->setText(good || text.isEmpty()
                       ? tr("Added to the test clock; positive when it runs behind.")
                       : tr("Not an offset: seconds such as +3.4, or minutes such as -1:05."));
    edit_->setAccessibleDescription(hint_->text());
}

void OffsetField::apply() {
    if (const auto offset = parseOffset(edit_->text())) emit offsetTyped(*offset);
}

}  // namespace beatwitness::widgets

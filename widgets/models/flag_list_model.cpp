#include "widgets/models/flag_list_model.h"

#include "widgets/format/number_text.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

QString spanText(const flags::Flag& flag) {
    return FlagListModel::tr("%1 to %2")
        .arg(sessionTimeText(secondsOf(flag.span.begin)), sessionTimeText(secondsOf(flag.span.end)));
}

QString magnitudeText(const flags::Flag& flag) {
    switch (flag.kind) {
        case flags::FlagKind::Dropout:
        case flags::FlagKind::Stuck:
        case flags::FlagKind::Lag:
            return secondsText(flag.magnitude);
        case flags::FlagKind::Spike:
        case flags::FlagKind::Adrift:
            return FlagListModel::tr("%1 bpm").arg(numberText(flag.magnitude, 0));
        case flags::FlagKind::HalfRate:
        case flags::FlagKind::DoubleRate:
            return QChar(0x00D7) + numberText(flag.magnitude, 2);
        case flags::FlagKind::CadenceLock:
            return FlagListModel::tr("%1 \u00D7 cadence").arg(numberText(flag.magnitude, 1));
        case flags::FlagKind::MissedRise:
        case flags::FlagKind::Damped:
            return FlagListModel::tr("%1 followed").arg(percentText(Percent{100 * flag.magnitude}, 0));
    }
    return {};
}

}  // namespace

void FlagListModel::setSession(std::shared_ptr<const analysis::SessionAnalysis> session, int test) {
    beginResetModel();
    session_ = std::move(session);
    test_ = test;
    endResetModel();
}

const flags::Flag* FlagListModel::flag(int row) const {
    if (row < 0 || row >= rowCount()) return nullptr;
    return &session_->tests[static_cast<std::size_t>(test_)].flags[static_cast<std::size_t>(row)];
}

int FlagListModel::rowAt(double seconds) const {
    for (int row = 0; row < rowCount(); ++row)
        if (secondsOf(flag(row)->span.begin) <= seconds && seconds <= secondsOf(flag(row)->span.end))
            return row;
    return -1;
}

int FlagListModel::rowCount(const QModelIndex& parent) const {
    if (parent.isValid() || !session_) return 0;
    return static_cast<int>(session_->tests[static_cast<std::size_t>(test_)].flags.size());
}

QString FlagListModel::titleOf(const flags::Flag& flag) const {
    const QString owner =
        flag.on == flags::FlaggedTrace::Reference ? referenceName(*session_) : testName(*session_, test_);
    const QString title = tr("%1 · %2").arg(flagName(flag.kind), owner);
    return flag.excluded ? tr("%1, left out").arg(title) : title;
}

QVariant FlagListModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const auto& found = *flag(index.row());
    switch (role) {
        case Qt::DisplayRole:
        case Qt::AccessibleTextRole:
            return tr("%1, %2, %3").arg(titleOf(found), spanText(found), magnitudeText(found));
        case Qt::ToolTipRole:
            return QString::fromStdString(found.because);
        case CodeRole:
            return QString::fromUtf8(currentPalette().flag(found.kind).code);
        case TitleRole:
            return titleOf(found);
        case SpanRole:
            return spanText(found);
        case MagnitudeRole:
            return magnitudeText(found);
        case ColourRole:
            return currentPalette().flag(found.kind).colour;
        case HatchRole:
            return static_cast<int>(currentPalette().flag(found.kind).hatch);
        default:
            return {};
    }
}

}  // namespace beatwitness::widgets

#include "widgets/models/agreement_table_model.h"

#include <QFont>
#include <array>
#include <numeric>

#include "widgets/format/number_text.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

using agreement::AgreementBlock;

std::optional<double> valueOf(const std::optional<BpmDelta>& number) {
    return number ? std::optional{number->value} : std::nullopt;
}
std::optional<double> valueOf(const std::optional<Percent>& number) {
    return number ? std::optional{number->value} : std::nullopt;
}

/// One number of the block: its name with unit, its definition, how it is written.
struct Row {
    const char* name;
    const char* definition;
    QString (*text)(const AgreementBlock&);
};

QString word(const char* text) {
    return AgreementTableModel::tr(text);
}

constexpr std::array rows{
    Row{QT_TR_NOOP("pairs, s"), QT_TR_NOOP("Whole seconds in which both traces have a value."),
        [](const AgreementBlock& b) { return countText(b.pairs); }},
    Row{QT_TR_NOOP("coverage, %"),
        QT_TR_NOOP("Pairs, as a share of the seconds in which the reference has a value."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.coverage), 1); }},
    Row{QT_TR_NOOP("bias, bpm"),
        QT_TR_NOOP("Mean error. An error is test minus reference: below zero reads low."),
        [](const AgreementBlock& b) { return signedText(valueOf(b.bias), 2); }},
    Row{QT_TR_NOOP("sd, bpm"), QT_TR_NOOP("Standard deviation of the error (n − 1)."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.sd), 2); }},
    Row{QT_TR_NOOP("MAE, bpm"), QT_TR_NOOP("Mean absolute error."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.mae), 2); }},
    Row{QT_TR_NOOP("MAPE, %"),
        QT_TR_NOOP("Mean absolute error as a share of the reference in the same second."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.mape), 2); }},
    Row{QT_TR_NOOP("RMSE, bpm"), QT_TR_NOOP("Root mean square error: large errors count more."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.rmse), 2); }},
    Row{QT_TR_NOOP("lower limit, bpm"), QT_TR_NOOP("Lower 95 % limit of agreement: bias − 1.96 sd."),
        [](const AgreementBlock& b) { return signedText(valueOf(b.loaLower), 1); }},
    Row{QT_TR_NOOP("upper limit, bpm"), QT_TR_NOOP("Upper 95 % limit of agreement: bias + 1.96 sd."),
        [](const AgreementBlock& b) { return signedText(valueOf(b.loaUpper), 1); }},
    Row{QT_TR_NOOP("Pearson’s r"),
        QT_TR_NOOP("Correlation: whether the two move together, not whether they agree."),
        [](const AgreementBlock& b) { return coefficientText(b.pearsonR); }},
    Row{QT_TR_NOOP("concordance"),
        QT_TR_NOOP("Lin’s concordance coefficient: 1 only where both read the same, second by second."),
        [](const AgreementBlock& b) { return coefficientText(b.ccc); }},
    Row{QT_TR_NOOP("within 5 bpm, %"),
        QT_TR_NOOP("Share of pairs with an error of at most 5 bpm either way."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.within5Bpm), 1); }},
    Row{QT_TR_NOOP("within 10 bpm, %"),
        QT_TR_NOOP("Share of pairs with an error of at most 10 bpm either way."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.within10Bpm), 1); }},
    Row{QT_TR_NOOP("within 10 %, %"),
        QT_TR_NOOP("Share of pairs with an error of at most 10 % of the reference either way."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.within10Pct), 1); }},
    Row{QT_TR_NOOP("half-rate, %"),
        QT_TR_NOOP("Share of pairs in which the test reads 0.45 to 0.55 of the reference."),
        [](const AgreementBlock& b) { return numberText(valueOf(b.halfRate), 1); }},
};

QList<int> allWhereEmpty(const QList<int>& chosen, int count) {
    if (!chosen.isEmpty()) return chosen;
    QList<int> all(count);
    std::iota(all.begin(), all.end(), 0);
    return all;
}

}  // namespace

void AgreementTableModel::setSession(std::shared_ptr<const analysis::SessionAnalysis> session) {
    beginResetModel();
    session_ = std::move(session);
    columns_.clear();
    const int tests = session_ ? static_cast<int>(session_->tests.size()) : 0;
    for (int test = 0; test < tests; ++test) {
        columns_.push_back({test, false});
        columns_.push_back({test, true});
    }
    endResetModel();
}

void AgreementTableModel::setShown(int test, bool aligned) {
    shownTest_ = test;
    shownAligned_ = aligned;
    if (columns_.empty()) return;
    emit dataChanged(index(0, 0), index(rowCount() - 1, columnCount() - 1),
                     {Qt::FontRole, Qt::BackgroundRole});
    emit headerDataChanged(Qt::Horizontal, 0, columnCount() - 1);
}

int AgreementTableModel::shownColumn() const {
    for (std::size_t i = 0; i < columns_.size(); ++i)
        if (columns_[i].test == shownTest_ && columns_[i].aligned == shownAligned_)
            return static_cast<int>(i);
    return -1;
}

int AgreementTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() || !session_ ? 0 : static_cast<int>(rows.size());
}

int AgreementTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(columns_.size());
}

const AgreementBlock* AgreementTableModel::block(const Column& column) const {
    const auto& test = session_->tests[static_cast<std::size_t>(column.test)];
    if (!column.aligned) return &test.asRecorded.agreement;
    return test.aligned ? &test.aligned->agreement : nullptr;
}

QString AgreementTableModel::heading(const Column& column) const {
    const QString clock = column.aligned ? tr("aligned") : tr("as recorded");
    return session_->tests.size() == 1 ? clock : testName(*session_, column.test) + QLatin1Char('\n') + clock;
}

QVariant AgreementTableModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const auto& row = rows[static_cast<std::size_t>(index.row())];
    const auto* numbers = block(columns_[static_cast<std::size_t>(index.column())]);
    const bool shown = index.column() == shownColumn();
    switch (role) {
        case Qt::DisplayRole:
            return numbers ? row.text(*numbers) : absentText();
        case Qt::TextAlignmentRole:
            return QVariant::fromValue(Qt::AlignRight | Qt::AlignVCenter);
        case Qt::ToolTipRole:
            return numbers ? word(row.definition) : tr("The clocks were not aligned.");
        case Qt::AccessibleTextRole:
            return tr("%1, %2: %3")
                .arg(word(row.name), heading(columns_[static_cast<std::size_t>(index.column())]),
                     numbers ? row.text(*numbers) : tr("none"));
        case Qt::FontRole:
            return shown ? QVariant(strongFont()) : QVariant();
        case Qt::BackgroundRole:
            return shown ? QVariant(currentPalette().accentTint) : QVariant();
        default:
            return {};
    }
}

QVariant AgreementTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    const int count = orientation == Qt::Vertical ? rowCount() : columnCount();
    if (section < 0 || section >= count) return {};
    if (orientation == Qt::Vertical) {
        const auto& row = rows[static_cast<std::size_t>(section)];
        if (role == Qt::DisplayRole) return word(row.name);
        if (role == Qt::ToolTipRole) return word(row.definition);
        if (role == Qt::TextAlignmentRole) return QVariant::fromValue(Qt::AlignLeft | Qt::AlignVCenter);
        return {};
    }
    if (role == Qt::DisplayRole) return heading(columns_[static_cast<std::size_t>(section)]);
    if (role == Qt::TextAlignmentRole) return QVariant::fromValue(Qt::AlignRight | Qt::AlignVCenter);
    if (role == Qt::FontRole && section == shownColumn()) return strongFont();
    return {};
}

QString AgreementTableModel::tabSeparated(const QList<int>& chosenRows,
                                          const QList<int>& chosenColumns) const {
    const auto columns = allWhereEmpty(chosenColumns, columnCount());
    QString text;
    for (const int column : columns)
        text += QLatin1Char('\t') + headerData(column, Qt::Horizontal, Qt::DisplayRole)
                                        .toString()
                                        .replace(QLatin1Char('\n'), QLatin1Char(' '));
    text += QLatin1Char('\n');
    for (const int row : allWhereEmpty(chosenRows, rowCount())) {
        text += headerData(row, Qt::Vertical, Qt::DisplayRole).toString();
        for (const int column : columns)
            text += QLatin1Char('\t') +
                    data(index(row, column), Qt::DisplayRole).toString().replace(minusSign, QLatin1Char('-'));
        text += QLatin1Char('\n');
    }
    return text;
}

}  // namespace beatwitness::widgets

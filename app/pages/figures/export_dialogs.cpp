#include "app/pages/figures/export_dialogs.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QDir>
#include <QDoubleSpinBox>
#include <QFileDialog>
#include <QFileInfo>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>
#include <utility>

#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QDialogButtonBox* buttonsOf(QDialog& dialog, const QString& accept, QWidget*& acceptButton) {
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel, &dialog);
    acceptButton = buttons->addButton(accept, QDialogButtonBox::AcceptRole);
    QObject::connect(buttons, &QDialogButtonBox::accepted, &dialog, &QDialog::accept);
    QObject::connect(buttons, &QDialogButtonBox::rejected, &dialog, &QDialog::reject);
    return buttons;
}

}  // namespace

ExportAllDialog::ExportAllDialog(int figures, const QString& folder, QWidget* parent)
    : QDialog(parent), folder_(new QLineEdit(QDir::toNativeSeparators(folder), this)) {
    setObjectName(QStringLiteral("exportAllDialog"));
    setWindowTitle(figures == 1 ? tr("Export One Figure") : tr("Export %1 Figures").arg(figures));
    folder_->setAccessibleName(tr("Folder"));
    folder_->setMinimumWidth(fontMetrics().averageCharWidth() * 50);
    auto* choose = new QPushButton(tr("Choose …"), this);
    connect(choose, &QPushButton::clicked, this, [this] {
        const QString chosen =
            QFileDialog::getExistingDirectory(this, tr("Folder of the Figures"), folder_->text());
        if (!chosen.isEmpty()) folder_->setText(QDir::toNativeSeparators(chosen));
    });
    auto* place = new QHBoxLayout;
    place->addWidget(folder_, 1);
    place->addWidget(choose);
    auto* formats = new QHBoxLayout;
    for (const auto& [ending, words] :
         {std::pair{"png", tr("PNG")}, {"svg", tr("SVG")}, {"pdf", tr("PDF")}}) {
        auto* check = new QCheckBox(words, this);
        check->setObjectName(QLatin1String(ending));
        check->setChecked(formats_.isEmpty());
        formats_ << check;
        formats->addWidget(check);
        connect(check, &QCheckBox::toggled, this, &ExportAllDialog::refresh);
    }
    formats->addStretch(1);
    auto* form = new QFormLayout;
    form->addRow(tr("Folder"), place);
    form->addRow(tr("Formats"), formats);
    auto* column = new QVBoxLayout(this);
    column->addLayout(form);
    column->addWidget(
        makeCaption(tr("Each file is named after its figure. Files of the same name are replaced."), this));
    column->addWidget(buttonsOf(*this, tr("Export"), accept_));
    connect(folder_, &QLineEdit::textChanged, this, &ExportAllDialog::refresh);
    refresh();
}

QString ExportAllDialog::folder() const {
    return QDir::fromNativeSeparators(folder_->text());
}

QStringList ExportAllDialog::endings() const {
    QStringList endings;
    for (const auto* check : formats_)
        if (check->isChecked()) endings << check->objectName();
    return endings;
}

void ExportAllDialog::refresh() {
    accept_->setEnabled(!endings().isEmpty() && QFileInfo(folder()).isDir());
}

FilmDialog::FilmDialog(Film film, QWidget* parent)
    : QDialog(parent),
      film_(std::move(film)),
      format_(new QComboBox(this)),
      rate_(new QComboBox(this)),
      style_(new QComboBox(this)),
      length_(new QDoubleSpinBox(this)),
      words_(makeBody({}, this)) {
    setObjectName(QStringLiteral("filmDialog"));
    setWindowTitle(tr("Export as Film"));
    format_->addItem(tr("numbered PNG pictures"), QStringLiteral("png"));
    format_->addItem(tr("H.264 (.mp4)"), QStringLiteral("mp4"));
    format_->addItem(tr("ProRes 4444, with transparency (.mov)"), QStringLiteral("mov"));
    format_->addItem(tr("VP9, with transparency (.webm)"), QStringLiteral("webm"));
    for (const auto* rate : {"24", "25", "30", "50", "60", "23.976", "29.97", "59.94"})
        rate_->addItem(QLatin1String(rate));
    rate_->setCurrentText(QStringLiteral("30"));
    style_->addItems({tr("the traces grow"), tr("a cursor travels over the traces")});
    style_->setEnabled(film_.motion.hasTimeAxis);
    length_->setRange(0.5, 600.0);
    length_->setDecimals(1);
    length_->setSuffix(tr(" s"));
    length_->setValue(film_.options.length_s);
    auto* form = new QFormLayout;
    form->addRow(tr("Format"), format_);
    form->addRow(tr("Frames a second"), rate_);
    form->addRow(tr("Length"), length_);
    form->addRow(tr("Motion"), style_);
    auto* column = new QVBoxLayout(this);
    column->addLayout(form);
    words_->setMinimumWidth(fontMetrics().averageCharWidth() * 52);
    words_->setMinimumHeight(fontMetrics().lineSpacing() * 2);
    column->addWidget(words_);
    column->addWidget(buttonsOf(*this, tr("Export …"), accept_));
    for (auto* box : {format_, rate_, style_})
        connect(box, &QComboBox::currentIndexChanged, this, &FilmDialog::refresh);
    connect(length_, &QDoubleSpinBox::valueChanged, this, &FilmDialog::refresh);
    refresh();
}

MotionOptions FilmDialog::options() const {
    MotionOptions options;
    if (const auto rate = frameRate(rate_->currentText())) options.rate = *rate;
    options.length_s = length_->value();
    options.style = style_->currentIndex() == 0 ? report::MotionStyle::Grow : report::MotionStyle::Cursor;
    return options;
}

QString FilmDialog::ending() const {
    return format_->currentData().toString();
}

void FilmDialog::refresh() {
    film_.options = options();
    const auto format = motionFormat(QStringLiteral("film.") + ending());
    const auto can = canWriteFilm(film_, *format);
    accept_->setEnabled(static_cast<bool>(can));
    QString text = can ? QString() : QString::fromStdString(sentence(can.fault()));
    if (can)
        text = tr("%1 frames of %2 × %3 px, %4 times as fast as it was.")
                   .arg(frameCount(film_.options))
                   .arg(film_.size.pixels().width())
                   .arg(film_.size.pixels().height())
                   .arg((film_.motion.end_s - film_.motion.begin_s) / film_.options.length_s, 0, 'f', 0);
    words_->setText(text);
}

}  // namespace beatwitness::app
